/** When a target may be observed, and if not now, why not and when. */
import type { UtcMillis } from "../base/units.js";
import type { Interval } from "../sky/interval.js";
import { remembering } from "../sky/memo.js";
import { type Night, nightOf } from "../sky/night.js";
import type { Target } from "../sky/target.js";
import { nearMoon, nearSun, sunUp } from "./celestial-limits.js";
import {
  type Case,
  caseOf,
  forbids,
  type Limit,
  type LimitName,
  type Reading,
  stretchesOf,
} from "./limit.js";
import type { Observatory, Window } from "./observatory.js";
import { behindMask, belowLimit, beyondHourAngle, inZenithHole } from "./pointing-limits.js";

/** In the order in which they are named to a person: the one for safety first. */
const LIMITS: readonly Limit[] = [
  nearSun,
  sunUp,
  belowLimit,
  behindMask,
  beyondHourAngle,
  inZenithHole,
  nearMoon,
];

/** Those that neither date nor Moon can change for a fixed target. */
const LASTING_LIMITS: readonly Limit[] = [belowLimit, behindMask, beyondHourAngle, inZenithHole];

/**
 * Greatest elongation from the Sun of the inner planets, rounded up, degrees
 * (Meeus, Astronomical Algorithms, ch. 36): a wider Sun limit never lets them be observed.
 */
const GREATEST_ELONGATION = { Mercury: 28.4, Venus: 47.9 } as const;

/** How far ahead the next opening is looked for: every season once. */
const NIGHTS_AHEAD = 366;

/** Why a target may not be observed at an instant. */
export interface WhyNot extends Reading {
  readonly limit: LimitName;
  /** The next time it may be observed; null when there is none within a year. */
  readonly opensUnixMs: UtcMillis | null;
  /** No date helps: it never clears the limit from this site. */
  readonly never: boolean;
}

/**
 * The stretches of a night in which every limit allows the target, in order, whole milliseconds.
 * Empty when there is none.
 */
export function windowsOf(target: Target, night: Night, observatory: Observatory): readonly Window[] {
  return windowsUnder(LIMITS, caseOf(target, night, observatory))
    .map(({ openUnixMs, closeUnixMs }) => ({
      openUnixMs: Math.ceil(openUnixMs),
      closeUnixMs: Math.floor(closeUnixMs),
    }))
    .filter(({ openUnixMs, closeUnixMs }) => openUnixMs < closeUnixMs);
}

/**
 * Which limit forbids the target at an instant, and when it may next be observed; null when nothing forbids it.
 * Of several limits the first in the order of `LIMITS` is named; one that never lifts comes before them all,
 * except the Sun's.
 */
export function whyNot(target: Target, unixMs: UtcMillis, observatory: Observatory): WhyNot | null {
  const night = nightOf(unixMs, observatory.site.timeZone);
  const one = caseOf(target, night, observatory);
  const forbidding = LIMITS.find((limit) => forbids(limit, one, unixMs));
  if (forbidding === undefined) return null;
  const lasting = neverAllowing(one);
  const limit = forbidding.name === "near-sun" ? forbidding : (lasting ?? forbidding);
  return {
    limit: limit.name,
    ...limit.reading(one, unixMs),
    opensUnixMs: lasting === null ? nextOpening(target, unixMs, night, observatory) : null,
    never: lasting !== null,
  };
}

/** The limit that forbids a target at an instant, the first in the order of `LIMITS`; null when none does. */
export function limitAt(target: Target, unixMs: UtcMillis, observatory: Observatory): LimitName | null {
  const one = caseOf(target, nightOf(unixMs, observatory.site.timeZone), observatory);
  return LIMITS.find((limit) => forbids(limit, one, unixMs))?.name ?? null;
}

/** The stretches of a night in which some limits allow a target. */
export function windowsUnder(limits: readonly Limit[], one: Case): readonly Interval[] {
  const { startUnixMs, endUnixMs } = one.night;
  let open: readonly Interval[] = [{ openUnixMs: startUnixMs, closeUnixMs: endUnixMs }];
  for (const limit of limits) {
    if (open.length === 0) break;
    open = open.flatMap((stretch) => stretchesOf(limit, one, stretch));
  }
  return open;
}

/** The limit that shuts out a target on every day of the year, or null. */
function neverAllowing(one: Case): Limit | null {
  if (one.target.kind === "body") return alwaysNearSun(one) ? nearSun : null;
  const tried: Limit[] = [];
  for (const limit of LASTING_LIMITS) {
    tried.push(limit);
    if (windowsUnder(tried, one).length === 0) return limit;
  }
  return null;
}

function alwaysNearSun({ target, observatory }: Case): boolean {
  if (target.kind !== "body" || (target.body !== "Mercury" && target.body !== "Venus")) return false;
  return observatory.limits.sunSeparationDegrees > GREATEST_ELONGATION[target.body];
}

/** The night that begins as another ends; remembered, because calendars are slower than the sky. */
const nightAfter = remembering(2 * NIGHTS_AHEAD, (key: string): Night => {
  const [endUnixMs, timeZone] = key.split(" ") as [string, string];
  return nightOf(Number(endUnixMs), timeZone);
});

function nextOpening(
  target: Target,
  unixMs: UtcMillis,
  tonight: Night,
  observatory: Observatory,
): UtcMillis | null {
  let night = tonight;
  for (let count = 0; count <= NIGHTS_AHEAD; count++) {
    const next = windowsOf(target, night, observatory).find((window) => window.closeUnixMs > unixMs);
    if (next !== undefined) return next.openUnixMs;
    night = nightAfter(`${night.endUnixMs} ${observatory.site.timeZone}`);
  }
  return null;
}
