/** How planets and the Moon look: size, brightness, how much of the disc is lit. */
import { Illumination, KM_PER_AU } from "astronomy-engine";
import { DEGREES_PER_RADIAN, type Degrees, HOUR, type UtcMillis } from "../base/units.js";
import { bodyOf, geocentricOfDate, timeOf } from "./ephemeris.js";
import { remembering } from "./memo.js";
import type { BodyTarget } from "./target.js";

/** Mean equatorial radii, km (IAU Working Group on Cartographic Coordinates, 2015 report, tables 4 and 5). */
const RADIUS_KM: Readonly<Record<BodyTarget["body"], number>> = {
  Mercury: 2440.53,
  Venus: 6051.8,
  Mars: 3396.19,
  Jupiter: 71492,
  Saturn: 60268,
  Uranus: 25559,
  Neptune: 24764,
  Pluto: 1188.3,
  Moon: 1737.4,
};

/** As seen from the Earth's centre. */
export interface Appearance {
  /** Visual, of the whole disc. */
  readonly magnitude: number;
  readonly diameterArcseconds: number;
  /** 0 to 1. */
  readonly illuminatedFraction: number;
  /** Angle at the body between Sun and Earth: 0 when full. */
  readonly phaseAngleDegrees: Degrees;
}

/** Magnitude and phase from the ephemeris library, size from the distance. */
export function appearanceOf(body: BodyTarget["body"], unixMs: UtcMillis): Appearance {
  const seen = Illumination(bodyOf(body), timeOf(unixMs));
  const semidiameter = Math.asin(RADIUS_KM[body] / (seen.geo_dist * KM_PER_AU)) * DEGREES_PER_RADIAN;
  return {
    magnitude: seen.mag,
    diameterArcseconds: 2 * semidiameter * 3600,
    illuminatedFraction: seen.phase_fraction,
    phaseAngleDegrees: seen.phase_angle,
  };
}

/** The Moon's geocentric semidiameter, degrees; of the hour, in which it changes by 1″ at most. */
export function moonSemidiameter(unixMs: UtcMillis): Degrees {
  return semidiameterOfHour(Math.floor(unixMs / HOUR));
}

const semidiameterOfHour = remembering(64, (hour: number): Degrees => {
  const { x, y, z } = geocentricOfDate("Moon", (hour + 0.5) * HOUR);
  return Math.asin(RADIUS_KM.Moon / (Math.hypot(x, y, z) * KM_PER_AU)) * DEGREES_PER_RADIAN;
});
