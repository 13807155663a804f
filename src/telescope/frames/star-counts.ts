/** How many stars a patch of sky has, brighter than a magnitude: what an honest frame should show. */
import { type Degrees, RADIANS_PER_DEGREE } from "../../base/units.js";

/** North galactic pole, J2000 (The Hipparcos and Tycho Catalogues, ESA SP-1200, vol. 1, section 1.5.3). */
const GALACTIC_POLE = { raDegrees: 192.85948, decDegrees: 27.12825 };

/**
 * Stars per square degree brighter than a visual magnitude, for magnitudes 6 to 22: a parabola through the
 * mean counts of the standard tables (Allen's Astrophysical Quantities) with a linear leaning towards the
 * Milky Way; values from memory, good to a factor of two.
 */
export function starsPerSquareDegree(magnitude: number, raDegrees: Degrees, decDegrees: Degrees): number {
  const fainter = magnitude - 6;
  const mean = -0.93 + 0.46 * fainter - 0.006 * fainter * fainter;
  const leaning = 0.09 * fainter * (0.45 - sinGalacticLatitude(raDegrees, decDegrees));
  return 10 ** (mean + leaning);
}

/** Sine of the galactic latitude, sign dropped: 0 in the Milky Way, 1 at its poles. */
function sinGalacticLatitude(raDegrees: Degrees, decDegrees: Degrees): number {
  const dec = decDegrees * RADIANS_PER_DEGREE;
  const pole = GALACTIC_POLE.decDegrees * RADIANS_PER_DEGREE;
  const apart = (raDegrees - GALACTIC_POLE.raDegrees) * RADIANS_PER_DEGREE;
  return Math.abs(Math.sin(dec) * Math.sin(pole) + Math.cos(dec) * Math.cos(pole) * Math.cos(apart));
}
