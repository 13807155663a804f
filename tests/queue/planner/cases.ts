/** Seeded nights for judging the planner: few requests on four kinds of night, and many on a whole one. */
import { type Random, seededRandom } from "../../../src/base/random.js";
import { HOUR, MINUTE, SECOND, type UtcMillis } from "../../../src/base/units.js";
import { problemOf } from "../../../src/forecast/follow-plan.js";
import { Machines } from "../../../src/forecast/machines.js";
import type { NightInput } from "../../../src/forecast/night-run.js";
import { nightSkyOf } from "../../../src/observatory/night-sky.js";
import type { Observatory } from "../../../src/observatory/observatory.js";
import type { Plan } from "../../../src/queue/planner/plan.js";
import type { Problem } from "../../../src/queue/planner/problem.js";
import { Schedule } from "../../../src/queue/planner/schedule.js";
import { queueTable } from "../../../src/queue/queue-table.js";
import type { Request } from "../../../src/queue/request.js";
import { targetNights } from "../../../src/queue/target-night.js";
import { nightOf } from "../../../src/sky/night.js";
import type { Target } from "../../../src/sky/target.js";
import { bodies, fixedTarget, randomNight, ternHollow } from "../../forecast/random-night.js";

/** The last stretch before dawn; several that set; ample time; neither. */
export const KINDS = ["short", "setting", "ample", "mixed"] as const;
export type Kind = (typeof KINDS)[number];

const DATES = ["2026-02-03", "2026-04-28", "2026-09-09", "2026-11-25"];

/** A fork, a mount that flips at the meridian, and a mast in the south that cuts windows in two. */
const OBSERVATORIES: readonly Observatory[] = [
  ternHollow,
  { ...ternHollow, mount: { ...ternHollow.mount, kind: "german-equatorial" } },
  {
    ...ternHollow,
    limits: {
      ...ternHollow.limits,
      horizonMask: [
        { azimuthDegrees: 0, altitudeDegrees: 10 },
        { azimuthDegrees: 174, altitudeDegrees: 10 },
        { azimuthDegrees: 176, altitudeDegrees: 75 },
        { azimuthDegrees: 188, altitudeDegrees: 75 },
        { azimuthDegrees: 190, altitudeDegrees: 10 },
      ],
    },
  },
];

/** Planets and "not before" among them. */
export function fewOn(kind: Kind, seed: number, requests: number): NightInput {
  const random = seededRandom(seed + 10_000 * KINDS.indexOf(kind));
  const { uniform } = random;
  const observatory = OBSERVATORIES[seed % OBSERVATORIES.length] as Observatory;
  const date = DATES[Math.floor(uniform() * DATES.length)] as string;
  const night = randomNight({ seed: seed * 7 + 1, date, requests, targets: requests, observatory });
  const { openUnixMs, closeUnixMs } = darkOf(night);
  const workMs = night.waiting.reduce((sum, each) => sum + usualMs(each), 0);
  const nowUnixMs = Math.round(
    {
      short: closeUnixMs - workMs * (0.5 + 0.3 * uniform()),
      setting: openUnixMs + 2 * HOUR * uniform(),
      ample: openUnixMs + HOUR * uniform(),
      mixed: closeUnixMs - workMs * (1 + 3 * uniform()),
    }[kind],
  );
  const waiting = night.waiting.map((each, index): Request => {
    if (kind === "setting") return { ...each, target: settingBy(night, nowUnixMs, workMs, random) };
    if (index === 0 && seed % 4 === 0) return { ...each, target: bodies[seed % bodies.length] as Target };
    return index === 1 && seed % 4 === 1 ? { ...each, notBeforeUnixMs: nowUnixMs + 20 * MINUTE } : each;
  });
  return { ...night, rule: "planned", nowUnixMs, waiting };
}

/** From dusk on, for 60 targets. */
export function manyOn(requests: number, seed: number): NightInput {
  const night = randomNight({ seed, date: "2026-11-25", requests, targets: 60 });
  return { ...night, rule: "planned", nowUnixMs: Math.ceil(darkOf(night).openUnixMs) };
}

export function problemIn(input: NightInput): Problem {
  const machines = new Machines(input.observatory, input.overheads, input.pointing);
  const nights = targetNights(input.nowUnixMs, input.observatory);
  const table = queueTable(input.waiting, nights, (request) => machines.exposingMs(request));
  return problemOf(input, table, machines);
}

/** A plan as it is played. */
export function playedIn(problem: Problem, { order, waits }: Plan): Schedule {
  const rows = new Map(problem.task.table.requests.map(({ number }, row) => [number, row]));
  const from = new Map(waits);
  const schedule = new Schedule(problem);
  schedule.play(
    order.map((number) => rows.get(number) as number),
    order.map((number) => from.get(number) ?? Number.NEGATIVE_INFINITY),
  );
  return schedule;
}

export function meanAirmass({ problem, order, start, ready, count }: Schedule): number {
  let sum = 0;
  for (let place = 0; place < count; place++)
    sum += problem.airmass(order[place] as number, (start[place] as number) + (ready[place] as number));
  return sum / count;
}

function darkOf({ nowUnixMs, observatory }: NightInput) {
  return nightSkyOf(nightOf(nowUnixMs, observatory.site.timeZone), observatory).dark[0] as {
    openUnixMs: UtcMillis;
    closeUnixMs: UtcMillis;
  };
}

function usualMs({ frames, exposureSeconds }: Request): number {
  return (frames * (exposureSeconds + 3) + 40) * SECOND;
}

/** A target that sets before all could be done. */
function settingBy(night: NightInput, nowUnixMs: UtcMillis, workMs: number, { uniform }: Random): Target {
  const nights = targetNights(nowUnixMs, night.observatory);
  for (;;) {
    const target = fixedTarget(`S${Math.round(1e9 * uniform())}`, uniform() * 360, -20 + 60 * uniform());
    const close = nights(target).windows.find(
      ({ openUnixMs, closeUnixMs }) => openUnixMs <= nowUnixMs && nowUnixMs < closeUnixMs,
    )?.closeUnixMs;
    if (close !== undefined && close - nowUnixMs < 0.9 * workMs + HOUR) return target;
  }
}
