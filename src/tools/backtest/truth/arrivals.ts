/** Who asks when: a few in the afternoon, bursts in class, some until dawn, staff and guests at any time. */
import type { Random } from "../../../base/random.js";
import { HOUR, MINUTE, type UtcMillis } from "../../../base/units.js";
import type { Request } from "../../../queue/request.js";
import { streamFor } from "./draws.js";
import type { Hours } from "./hours.js";
import type { Truth } from "./parameters.js";
import type { Wisher } from "./wishes.js";

/** Tiers as in the example configuration: staff, class, guests. */
const STAFF = 0;
const CLASS = 1;
const GUESTS = 2;

/** Mean number of requests in a night of ordinary demand, and the people who make them. */
interface Askers {
  readonly students: number;
  readonly demand: number;
}

/** One night's requests in order of asking, numbered from `firstNumber`. */
export function arrivalsOf(
  truth: Truth["arrivals"],
  { students, demand }: Askers,
  hours: Hours,
  wish: Wisher,
  firstNumber: number,
  seed: number,
): readonly Request[] {
  const random = streamFor(seed, 5);
  const factor = demand * Math.exp(truth.nightSpread * random.normal());
  const count = (mean: number): number => random.poisson(mean * factor);
  const { duskUnixMs, dawnUnixMs, classBeginsUnixMs, classEndsUnixMs } = hours;
  const between = (from: UtcMillis, until: UtcMillis): UtcMillis =>
    from + random.uniform() * Math.max(0, until - from);
  const early = duskUnixMs - truth.earlyMinutes * MINUTE;
  const lateHours = Math.max(0, (dawnUnixMs - classEndsUnixMs) / HOUR);

  const instants = [
    ...several(count(truth.earlyPerStudent * students), CLASS, () => between(early, classBeginsUnixMs)),
    ...inClass(truth, count(truth.inClassPerStudent * students), hours, random),
    ...several(count(truth.latePerHour * lateHours), CLASS, () => between(classEndsUnixMs, dawnUnixMs)),
    ...several(count(truth.staffPerNight), STAFF, () => between(duskUnixMs - HOUR, dawnUnixMs)),
    ...several(count(truth.guestsPerNight), GUESTS, () => between(early, dawnUnixMs)),
  ].sort((a, b) => a.unixMs - b.unixMs);

  return instants.map(({ unixMs, tier }, index) => {
    const askedUnixMs = Math.round(unixMs);
    return {
      ...wish(askedUnixMs, random),
      number: firstNumber + index,
      owner: ownerOf(tier, students, random),
      sharers: [],
      classId: "backtest",
      group: null,
      tier,
      via: { surface: "backtest", channel: "class" },
      askedUnixMs,
      state: "waiting",
      takenUnixMs: null,
      endedUnixMs: null,
      framesDone: 0,
      reason: null,
    };
  });
}

interface Asking {
  readonly unixMs: UtcMillis;
  readonly tier: number;
}

function several(count: number, tier: number, when: () => UtcMillis): Asking[] {
  return Array.from({ length: count }, () => ({ unixMs: when(), tier }));
}

/** Bursts of geometric size, mean `burstRequests`, until the share asked in bursts is used up. */
function inClass(truth: Truth["arrivals"], count: number, hours: Hours, random: Random): Asking[] {
  const { classBeginsUnixMs, classEndsUnixMs } = hours;
  const lengthMs = classEndsUnixMs - classBeginsUnixMs;
  const anyTime = (): UtcMillis => classBeginsUnixMs + random.uniform() * lengthMs;
  const burstLengthMs = Math.min(truth.burstMinutes * MINUTE, lengthMs);
  const inBursts = Math.round(count * truth.burstShare);
  const asked = several(count - inBursts, CLASS, anyTime);
  for (let left = inBursts; left > 0; ) {
    const size = Math.min(left, 1 + Math.floor(random.exponential(truth.burstRequests)));
    const begins = classBeginsUnixMs + random.uniform() * (lengthMs - burstLengthMs);
    asked.push(...several(size, CLASS, () => begins + random.uniform() * burstLengthMs));
    left -= size;
  }
  return asked;
}

function ownerOf(tier: number, students: number, random: Random): string {
  if (tier === STAFF) return "backtest:staff";
  if (tier === GUESTS) return `backtest:guest-${Math.floor(random.uniform() * 10)}`;
  return `backtest:student-${Math.floor(random.uniform() * students)}`;
}
