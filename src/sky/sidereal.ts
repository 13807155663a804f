/** The turning of the Earth as a site sees it. */
import { SiderealTime } from "astronomy-engine";
import { DAY, RADIANS_PER_DEGREE, type Radians, type UtcMillis } from "../base/units.js";
import { timeOf } from "./ephemeris.js";
import { remembering } from "./memo.js";
import type { Site } from "./site.js";

/**
 * Radians of sidereal angle per millisecond of UT1: 1.002 737 909 350 795 turns a day
 * (Aoki et al. 1982, A&A 105, 359; Meeus, Astronomical Algorithms, ch. 12).
 */
const RADIANS_PER_MILLI = (1.002737909350795 * 2 * Math.PI) / DAY;

const RADIANS_PER_HOUR = 15 * RADIANS_PER_DEGREE;

/** Greenwich apparent sidereal angle at noon of a UTC day, from the library. */
const noonAngle = remembering(
  64,
  (day: number): Radians => SiderealTime(timeOf((day + 0.5) * DAY)) * RADIANS_PER_HOUR,
);

/**
 * Local apparent sidereal angle θ, radians, growing from an arbitrary turn.
 * Linear within a UTC day: nutation bends it by less than 0.01″ in half a day.
 */
export function siderealRadians(unixMs: UtcMillis, site: Site): Radians {
  const day = Math.floor(unixMs / DAY);
  const sinceNoon = unixMs - (day + 0.5) * DAY;
  return noonAngle(day) + sinceNoon * RADIANS_PER_MILLI + site.longitudeDegrees * RADIANS_PER_DEGREE;
}

/** Sidereal angle gained in a duration of `millis`. */
export function siderealGain(millis: number): Radians {
  return millis * RADIANS_PER_MILLI;
}

/** Milliseconds in which the sidereal angle grows by `radians`. */
export function siderealMillis(radians: Radians): number {
  return radians / RADIANS_PER_MILLI;
}

/** The same angle within (−π, π]. */
export function wrapped(radians: Radians): Radians {
  const turns = radians - 2 * Math.PI * Math.floor(radians / (2 * Math.PI));
  return turns > Math.PI ? turns - 2 * Math.PI : turns;
}
