/** What a limit is: a function of time that is not negative while the target may be observed. */
import { type Degrees, RADIANS_PER_DEGREE, type UtcMillis } from "../base/units.js";
import type { Interval } from "../sky/interval.js";
import type { Night } from "../sky/night.js";
import { type Curve, whileNotNegative } from "../sky/search.js";
import type { Target } from "../sky/target.js";
import { type Track, trackOf } from "../sky/track.js";
import type { Observatory } from "./observatory.js";

export type LimitName =
  | "near-sun"
  | "sun-up"
  | "below-limit"
  | "mask"
  | "hour-angle"
  | "zenith-hole"
  | "near-moon";

/** One target on one night at one observatory. */
export interface Case {
  readonly target: Target;
  readonly night: Night;
  readonly observatory: Observatory;
  readonly track: Track;
}

/** How things stand to a limit at an instant, degrees: the Sun's altitude, a separation, an hour angle … */
export interface Reading {
  readonly valueDegrees: Degrees;
  readonly limitDegrees: Degrees;
}

export interface Limit {
  readonly name: LimitName;
  /** Not negative while the limit allows the target; null when it can never bind in this case. */
  curve(one: Case): Curve | null;
  reading(one: Case, unixMs: UtcMillis): Reading;
  /** A quicker way to `stretchesOf` than looking along the curve, where there is one. */
  stretches?(one: Case, within: Interval): readonly Interval[];
}

/** Prepares a target for its limits. */
export function caseOf(target: Target, night: Night, observatory: Observatory): Case {
  return { target, night, observatory, track: trackOf(target, night, observatory.site) };
}

/** The parts of an interval in which a limit allows the target. */
export function stretchesOf(limit: Limit, one: Case, within: Interval): readonly Interval[] {
  if (limit.stretches !== undefined) return limit.stretches(one, within);
  const curve = limit.curve(one);
  return curve === null ? [within] : whileNotNegative(curve, within.openUnixMs, within.closeUnixMs);
}

/** Whether a limit forbids the target at an instant. */
export function forbids(limit: Limit, one: Case, unixMs: UtcMillis): boolean {
  const curve = limit.curve(one);
  return curve !== null && curve.at(unixMs) < 0;
}

/** Sine and cosine of an angle in degrees. */
export const sineOf = (degrees: Degrees): number => Math.sin(degrees * RADIANS_PER_DEGREE);
export const cosineOf = (degrees: Degrees): number => Math.cos(degrees * RADIANS_PER_DEGREE);
