/** Which limit spoils what is left of a night for a target, whatever stands in its way at one instant. */
import { MINUTE, type UtcMillis } from "../base/units.js";
import { type Interval, remaining } from "../sky/interval.js";
import type { Night } from "../sky/night.js";
import type { Target } from "../sky/target.js";
import { nearMoon, nearSun, sunUp } from "./celestial-limits.js";
import { type Case, caseOf, type Limit, type LimitName, type Reading } from "./limit.js";
import type { Observatory } from "./observatory.js";
import { behindMask, belowLimit, beyondHourAngle, inZenithHole } from "./pointing-limits.js";
import { windowsUnder } from "./window.js";

/** Those that spoil the night by themselves, in the order in which they are named. */
const ALONE: readonly Limit[] = [nearSun, sunUp, belowLimit, behindMask, beyondHourAngle, inZenithHole];
/** Otherwise the one that takes what those before it left. */
const TOGETHER: readonly Limit[] = [
  sunUp,
  belowLimit,
  behindMask,
  beyondHourAngle,
  inZenithHole,
  nearSun,
  nearMoon,
];

/** A body's height changes by less than 0.1° so near its highest point. */
const LOOK = 10 * MINUTE;

/** What spoils a night. */
export interface NightObstacle {
  readonly limit: LimitName;
  /** Whether no other limit is needed for that. */
  readonly alone: boolean;
  /** How near the target comes to being allowed, or for the Moon how near it comes to the Moon. */
  readonly reading: Reading;
}

/**
 * The limit that leaves a target no time between `fromUnixMs` and the end of the night; null where it has some.
 * Where several do together, the last that is needed: it is dark, but not while the target is high enough.
 */
export function nightObstacle(
  target: Target,
  night: Night,
  fromUnixMs: UtcMillis,
  observatory: Observatory,
): NightObstacle | null {
  const one = caseOf(target, night, observatory);
  const left = (limits: readonly Limit[]): Interval[] => remaining(windowsUnder(limits, one), fromUnixMs);
  if (left(TOGETHER).length > 0) return null;
  const alone = ALONE.find((limit) => left([limit]).length === 0);
  if (alone) return { limit: alone.name, alone: true, reading: extreme(alone, one, left([])) };
  for (let count = 1; count <= TOGETHER.length; count++) {
    if (left(TOGETHER.slice(0, count)).length > 0) continue;
    const last = TOGETHER[count - 1] as Limit;
    return {
      limit: last.name,
      alone: false,
      reading: extreme(last, one, left(TOGETHER.slice(0, count - 1))),
    };
  }
  return null;
}

/** The Moon's least distance, any other reading at its greatest. */
function extreme(limit: Limit, one: Case, stretches: readonly Interval[]): Reading {
  const readings = stretches.flatMap(({ openUnixMs, closeUnixMs }) =>
    Array.from({ length: Math.ceil((closeUnixMs - openUnixMs) / LOOK) + 1 }, (_, look) =>
      limit.reading(one, Math.min(openUnixMs + look * LOOK, closeUnixMs)),
    ),
  );
  const sign = limit === nearMoon ? -1 : 1;
  return readings.reduce((best, each) => ((each.valueDegrees - best.valueDegrees) * sign > 0 ? each : best));
}
