/** Sunset, the three twilights, and nights in which they never come or never end. */
import { type Degrees, MINUTE, RADIANS_PER_DEGREE, type UtcMillis } from "../base/units.js";
import type { Interval } from "./interval.js";
import type { Night } from "./night.js";
import { whileNotNegative } from "./search.js";
import type { Site } from "./site.js";
import { bodyTrack, sinAltitudeAt } from "./track.js";

export type TwilightName = "sunset" | "civil" | "nautical" | "astronomical";

/**
 * True altitude of the Sun's centre that defines each: the upper limb on the horizon with 34′ of refraction, then
 * 6°, 12°, 18° below (Explanatory Supplement to the Astronomical Almanac, 3rd ed., 12.1).
 */
export const TWILIGHT_DEGREES: Readonly<Record<TwilightName, Degrees>> = {
  sunset: -50 / 60,
  civil: -6,
  nautical: -12,
  astronomical: -18,
};

/** When the Sun is below one of these altitudes in a night. */
export interface Twilight {
  readonly sunAltitudeDegrees: Degrees;
  /**
   * `comes-and-ends`: an ordinary night. `never-comes`: the Sun stays above (for sunset: polar day).
   * `never-ends`: it stays below from noon to noon (for sunset: polar night).
   */
  readonly course: "comes-and-ends" | "never-comes" | "never-ends";
  /** The Sun sinks below it; null where it does not, or was below already at noon. */
  readonly duskUnixMs: UtcMillis | null;
  /** The Sun rises above it again; null where it does not before the night's end at noon. */
  readonly dawnUnixMs: UtcMillis | null;
}

/** All four for a night. */
export function twilightsOf(night: Night, site: Site): Readonly<Record<TwilightName, Twilight>> {
  return {
    sunset: twilightAt(TWILIGHT_DEGREES.sunset, night, site),
    civil: twilightAt(TWILIGHT_DEGREES.civil, night, site),
    nautical: twilightAt(TWILIGHT_DEGREES.nautical, night, site),
    astronomical: twilightAt(TWILIGHT_DEGREES.astronomical, night, site),
  };
}

/** The same for any altitude of the Sun's centre. */
export function twilightAt(sunAltitudeDegrees: Degrees, night: Night, site: Site): Twilight {
  const [longest] = whileSunBelow(sunAltitudeDegrees, night, site).sort((a, b) => lengthOf(b) - lengthOf(a));
  if (longest === undefined)
    return { sunAltitudeDegrees, course: "never-comes", duskUnixMs: null, dawnUnixMs: null };
  const duskUnixMs = longest.openUnixMs > night.startUnixMs ? longest.openUnixMs : null;
  const dawnUnixMs = longest.closeUnixMs < night.endUnixMs ? longest.closeUnixMs : null;
  const course = duskUnixMs === null && dawnUnixMs === null ? "never-ends" : "comes-and-ends";
  return { sunAltitudeDegrees, course, duskUnixMs, dawnUnixMs };
}

/** The stretches of a night in which the Sun's centre stands at or below an altitude (true). */
export function whileSunBelow(sunAltitudeDegrees: Degrees, night: Night, site: Site): Interval[] {
  const sun = bodyTrack("Sun", night, site);
  const limit = Math.sin(sunAltitudeDegrees * RADIANS_PER_DEGREE);
  const curve = { stepMs: 20 * MINUTE, at: (unixMs: UtcMillis) => limit - sinAltitudeAt(sun, unixMs) };
  return whileNotNegative(curve, night.startUnixMs, night.endUnixMs);
}

function lengthOf({ openUnixMs, closeUnixMs }: Interval): number {
  return closeUnixMs - openUnixMs;
}
