/** Where a site stands in the turning Earth: what parallax and altitude need, computed once. */
import { RADIANS_PER_DEGREE } from "../base/units.js";
import type { Site } from "./site.js";

/** Sine and cosine of the latitude, and the site's place in astronomical units from the Earth's centre. */
export interface Ground {
  readonly sinLatitude: number;
  readonly cosLatitude: number;
  /** Along the Earth's axis, north positive (ρ sin φ′). */
  readonly axialAu: number;
  /** From the axis (ρ cos φ′). */
  readonly equatorialAu: number;
  /** Towards the zenith. */
  readonly zenithAu: number;
}

/** IAU 2012 Resolution B2. */
const KM_PER_AU = 149_597_870.7;
/** IERS Conventions 2010, table 1.1. */
const EQUATORIAL_RADIUS_KM = 6378.1366;
const FLATTENING = 1 / 298.25642;

const known = new WeakMap<Site, Ground>();

/** Explanatory Supplement to the Astronomical Almanac, 3rd ed., 7.2.4; Meeus, Astronomical Algorithms, ch. 11. */
export function groundOf(site: Site): Ground {
  const found = known.get(site);
  if (found !== undefined) return found;
  const latitude = site.latitudeDegrees * RADIANS_PER_DEGREE;
  const sinLatitude = Math.sin(latitude);
  const cosLatitude = Math.cos(latitude);
  const squash = (1 - FLATTENING) ** 2;
  const stretch = 1 / Math.sqrt(cosLatitude ** 2 + squash * sinLatitude ** 2);
  const height = site.elevationMetres / 1000;
  const axialAu = ((EQUATORIAL_RADIUS_KM * squash * stretch + height) * sinLatitude) / KM_PER_AU;
  const equatorialAu = ((EQUATORIAL_RADIUS_KM * stretch + height) * cosLatitude) / KM_PER_AU;
  const zenithAu = axialAu * sinLatitude + equatorialAu * cosLatitude;
  const ground = { sinLatitude, cosLatitude, axialAu, equatorialAu, zenithAu };
  known.set(site, ground);
  return ground;
}
