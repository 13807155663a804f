/** What the air does to light: it lifts and it dims. */
import { type Degrees, RADIANS_PER_DEGREE } from "../base/units.js";

/**
 * How much refraction lifts something that truly stands at this altitude, degrees.
 * Sæmundsson 1986 (Sky & Telescope 72, 70), as in Meeus, Astronomical Algorithms, ch. 16 (16.4): 1010 hPa, 10 °C.
 * Below −1° the formula no longer holds; there the value falls linearly to 0 at the nadir, so that the apparent
 * altitude stays continuous and rising.
 */
export function refractionDegrees(trueAltitudeDegrees: Degrees): Degrees {
  if (trueAltitudeDegrees < -1) return (saemundsson(-1) * (trueAltitudeDegrees + 90)) / 89;
  return saemundsson(trueAltitudeDegrees);
}

/** Altitude at which it is seen, degrees: true altitude plus refraction. */
export function apparentAltitude(trueAltitudeDegrees: Degrees): Degrees {
  return trueAltitudeDegrees + refractionDegrees(trueAltitudeDegrees);
}

/**
 * Relative optical airmass at an apparent altitude, 1 near the zenith; Infinity below −1°, where nothing is seen.
 * Kasten & Young 1989, Applied Optics 28, 4735: X = 1 / (sin h + 0.50572 (h + 6.07995°)^−1.6364).
 */
export function airmassAtApparent(apparentAltitudeDegrees: Degrees): number {
  if (apparentAltitudeDegrees < -1) return Number.POSITIVE_INFINITY;
  const sine = Math.sin(apparentAltitudeDegrees * RADIANS_PER_DEGREE);
  return 1 / (sine + 0.50572 * (apparentAltitudeDegrees + 6.07995) ** -1.6364);
}

/** The same for a true altitude: refraction first, because the formula is fitted to what is seen. */
export function airmassAtTrue(trueAltitudeDegrees: Degrees): number {
  return airmassAtApparent(apparentAltitude(trueAltitudeDegrees));
}

/** Meeus (16.4) with the small term he adds so that refraction vanishes at the zenith, in degrees. */
function saemundsson(altitudeDegrees: Degrees): Degrees {
  const angle = (altitudeDegrees + 10.3 / (altitudeDegrees + 5.11)) * RADIANS_PER_DEGREE;
  return (1.02 / Math.tan(angle) + 0.0019279) / 60;
}
