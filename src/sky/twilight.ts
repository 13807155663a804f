/** Sunset, the three twilights, and nights in which they never come or never end. */
import { type Degrees, MINUTE, RADIANS_PER_DEGREE, type UtcMillis } from "../base/units.js";
import type { Interval } from "./interval.js";
import type { Night } from "./night.js";
import { whileNotNegative } from "./search.js";
import type { Site } from "./site.js";
import { bodyTrack, sinAltitudeAt } from "./track.js";

/**
 * True altitude of the Sun's centre that defines each: the upper limb on the horizon with 34′ of refraction, then
 * 6°, 12°, 18° below (Explanatory Supplement to the Astronomical Almanac, 3rd ed., 12.1).
 */
export const TWILIGHT_DEGREES = {
  sunset: -50 / 60,
  civil: -6,
  nautical: -12,
  astronomical: -18,
} as const satisfies Readonly<Record<string, Degrees>>;

/** The stretches of a night in which the Sun's centre stands at or below an altitude (true). */
export function whileSunBelow(sunAltitudeDegrees: Degrees, night: Night, site: Site): Interval[] {
  const sun = bodyTrack("Sun", night, site);
  const limit = Math.sin(sunAltitudeDegrees * RADIANS_PER_DEGREE);
  const curve = { stepMs: 20 * MINUTE, at: (unixMs: UtcMillis) => limit - sinAltitudeAt(sun, unixMs) };
  return whileNotNegative(curve, night.startUnixMs, night.endUnixMs);
}
