/** One exposure: what was asked, and the circumstances that decide what it shows. */
import { Equator } from "astronomy-engine";
import { type Degrees, SECOND, type Seconds, type UtcMillis } from "../../base/units.js";
import type { Equipment } from "../../journal/events.js";
import type { Filter, Observatory } from "../../observatory/observatory.js";
import { seeingAtAirmass } from "../../observatory/photometry.js";
import { airmassAtTrue } from "../../sky/airmass.js";
import { bodyOf, observerOf, timeOf } from "../../sky/ephemeris.js";
import { moonPhase } from "../../sky/moon.js";
import { horizontal, placeAmongStars, separationDegrees, sunAltitudeDegrees } from "../../sky/place-at.js";
import { magnitudeOf, nanolambertsOf, skyMagnitude } from "../../sky/sky-brightness.js";
import type { Target } from "../../sky/target.js";

export interface Exposure {
  readonly target: Target;
  /** Name of a filter in the camera's wheel; the first one stands in for a name that is gone. */
  readonly filter: string;
  readonly exposureSeconds: Seconds;
  readonly startUnixMs: UtcMillis;
  readonly observatory: Observatory;
  readonly equipment: Equipment;
}

/** Everything about the sky and the machines at mid-exposure. */
export interface Circumstances {
  readonly midUnixMs: UtcMillis;
  readonly filter: Filter;
  /** Where the camera points: ICRS; for a body astrometric and topocentric. */
  readonly raDegrees: Degrees;
  readonly decDegrees: Degrees;
  readonly altitudeDegrees: Degrees;
  readonly airmass: number;
  readonly sunAltitudeDegrees: Degrees;
  readonly moonAltitudeDegrees: Degrees;
  readonly moonSeparationDegrees: Degrees;
  readonly moonIlluminatedFraction: number;
  /** Towards the target, magnitudes per square arc second. */
  readonly skyMagnitude: number;
  readonly fwhmArcseconds: number;
}

/** Nothing on Earth is seen through more air than at the horizon; below it the ground is in the way. */
const LOWEST_ALTITUDE: Degrees = 0;
/** The day sky, magnitudes per square arc second (common practice, no source). */
const DAY_SKY = 3;

/** Works the circumstances out for the middle of the exposure. */
export function circumstancesOf(exposure: Exposure): Circumstances {
  const { target, observatory } = exposure;
  const { site, camera } = observatory;
  const midUnixMs = exposure.startUnixMs + (exposure.exposureSeconds * SECOND) / 2;
  const filter =
    camera.filters.find((each) => each.name === exposure.filter) ?? (camera.filters[0] as Filter);
  const { altitudeDegrees } = horizontal(target, midUnixMs, site);
  const sun = sunAltitudeDegrees(midUnixMs, site);
  const airmass = airmassAtTrue(Math.max(LOWEST_ALTITUDE, altitudeDegrees));
  const phase = moonPhase(midUnixMs);
  const moon = {
    phaseAngleDegrees: phase.phaseAngleDegrees,
    altitudeDegrees: horizontal("Moon", midUnixMs, site).altitudeDegrees,
    separationDegrees: separationDegrees(target, "Moon", midUnixMs, site),
  };
  const night = skyMagnitude({
    darkMagnitude: filter.skyMagnitude,
    extinction: filter.extinction,
    altitudeDegrees,
    moon: target.id === "moon" ? null : moon,
  });
  return {
    midUnixMs,
    filter,
    ...centreOf(target, midUnixMs, observatory),
    altitudeDegrees,
    airmass,
    sunAltitudeDegrees: sun,
    moonAltitudeDegrees: moon.altitudeDegrees,
    moonSeparationDegrees: moon.separationDegrees,
    moonIlluminatedFraction: phase.illuminatedFraction,
    skyMagnitude: withTwilight(night, sun),
    fwhmArcseconds: seeingAtAirmass(camera, airmass),
  };
}

function withTwilight(nightMagnitude: number, sunAltitude: Degrees): number {
  const twilight = twilightMagnitude(sunAltitude);
  return twilight === null
    ? nightMagnitude
    : magnitudeOf(nanolambertsOf(nightMagnitude) + nanolambertsOf(twilight));
}

/** ICRS; for a body astrometric and topocentric. */
export function centreOf(
  target: Target,
  unixMs: UtcMillis,
  { site }: Observatory,
): { raDegrees: Degrees; decDegrees: Degrees } {
  if (target.kind === "fixed") return { raDegrees: target.raDegrees, decDegrees: target.decDegrees };
  if (target.kind === "orbit") return placeAmongStars(target.orbit, unixMs, site);
  const { ra, dec } = Equator(bodyOf(target.body), timeOf(unixMs), observerOf(site), false, false);
  return { raDegrees: ra * 15, decDegrees: dec };
}

/**
 * Brightness of the twilit zenith, V magnitudes per square arc second, taken for every filter; null once the
 * Sun is 18° down. From 5° to 15° the parabola in table 1 of Patat, Ugolnikov & Postylyakov 2006
 * (A&A 455, 385; coefficients from memory), carried on up to the day sky and, fading by a magnitude per
 * degree, down to the end of twilight.
 */
function twilightMagnitude(sunAltitudeDegrees: Degrees): number | null {
  const below = -sunAltitudeDegrees;
  if (below >= 18) return null;
  if (below <= 0) return DAY_SKY;
  const beyond = Math.min(below, 15) - 5;
  const parabola = 11.84 + 1.518 * beyond - 0.057 * beyond * beyond;
  return Math.max(DAY_SKY, parabola) + Math.max(0, below - 15);
}
