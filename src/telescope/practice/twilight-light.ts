/** What twilight and day add to the sky's brightness. */
import type { Degrees } from "../../base/units.js";

/** The day sky, magnitudes per square arc second (common practice, no source). */
const DAY_SKY = 3;

/**
 * Brightness of the twilit zenith, V magnitudes per square arc second, taken for every filter; null once the
 * Sun is 18° down. From 5° to 15° the parabola in table 1 of Patat, Ugolnikov & Postylyakov 2006
 * (A&A 455, 385; coefficients from memory), carried on up to the day sky and, fading by a magnitude per
 * degree, down to the end of twilight.
 */
export function twilightMagnitude(sunAltitudeDegrees: Degrees): number | null {
  const below = -sunAltitudeDegrees;
  if (below >= 18) return null;
  if (below <= 0) return DAY_SKY;
  const beyond = Math.min(below, 15) - 5;
  const parabola = 11.84 + 1.518 * beyond - 0.057 * beyond * beyond;
  return Math.max(DAY_SKY, parabola) + Math.max(0, below - 15);
}
