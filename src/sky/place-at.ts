/** Where something stands at one instant, straight from the ephemeris: no night, no interpolation. */
import { Equator, Horizon, ObserverVector } from "astronomy-engine";
import {
  DEGREES_PER_RADIAN,
  type Degrees,
  RADIANS_PER_DEGREE,
  type Radians,
  type UtcMillis,
} from "../base/units.js";
import {
  apparentDirection,
  bodyOf,
  geocentricOfDate,
  movingPart,
  type NamedBody,
  observerOf,
  orbitSeen,
  timeOf,
} from "./ephemeris.js";
import type { Site } from "./site.js";
import type { Orbit } from "./small-bodies/orbit.js";
import type { Target } from "./target.js";
import { angleBetween, type HorizontalPlace } from "./track.js";
import { unit, type Vector3 } from "./vector.js";

/** Anything with a place: a target, or a body by name (the Sun is no target, but it stands somewhere). */
export type Anything = Target | NamedBody;

/** Right ascension and declination, true equator and equinox of date; topocentric for a body. */
export interface EquatorialPlace {
  /** [0, 2π). */
  readonly rightAscensionRadians: Radians;
  readonly declinationRadians: Radians;
}

/** Apparent place of date. */
export function equatorial(thing: Anything, unixMs: UtcMillis, site: Site): EquatorialPlace {
  const { x, y, z } = direction(thing, unixMs, site);
  const rightAscension = Math.atan2(y, x);
  return {
    rightAscensionRadians: rightAscension < 0 ? rightAscension + 2 * Math.PI : rightAscension,
    declinationRadians: Math.atan2(z, Math.hypot(x, y)),
  };
}

/** Altitude (true, unrefracted) and azimuth from north through east. */
export function horizontal(thing: Anything, unixMs: UtcMillis, site: Site): HorizontalPlace {
  const place = equatorial(thing, unixMs, site);
  const hours = (place.rightAscensionRadians * DEGREES_PER_RADIAN) / 15;
  const degrees = place.declinationRadians * DEGREES_PER_RADIAN;
  const { altitude, azimuth } = Horizon(timeOf(unixMs), observerOf(site), hours, degrees);
  return { altitudeDegrees: altitude, azimuthDegrees: azimuth };
}

/** True altitude of the Sun's centre. */
export function sunAltitudeDegrees(unixMs: UtcMillis, site: Site): Degrees {
  return horizontal("Sun", unixMs, site).altitudeDegrees;
}

/** Angle on the sky between two things, as seen from the site: 0 to 180. */
export function separationDegrees(a: Anything, b: Anything, unixMs: UtcMillis, site: Site): Degrees {
  return angleBetween(direction(a, unixMs, site), direction(b, unixMs, site));
}

/** Astrometric place of a small body as seen from the site: among the stars of a catalogue, ICRS. */
export function placeAmongStars(
  orbit: Orbit,
  unixMs: UtcMillis,
  site: Site,
): { readonly raDegrees: Degrees; readonly decDegrees: Degrees } {
  const { astrometric } = orbitSeen(orbit, unixMs);
  const here = ObserverVector(timeOf(unixMs), observerOf(site), false);
  const [x, y, z] = [astrometric.x - here.x, astrometric.y - here.y, astrometric.z - here.z];
  const ra = Math.atan2(y, x) * DEGREES_PER_RADIAN;
  return { raDegrees: (ra + 360) % 360, decDegrees: Math.atan2(z, Math.hypot(x, y)) * DEGREES_PER_RADIAN };
}

/** Unit vector, true equator and equinox of date. */
function direction(thing: Anything, unixMs: UtcMillis, site: Site): Vector3 {
  if (typeof thing !== "string" && thing.kind === "fixed") return apparentDirection(thing, unixMs);
  const moving = typeof thing === "string" ? thing : movingPart(thing);
  if (typeof moving !== "string") {
    const seen = geocentricOfDate(moving, unixMs);
    const here = ObserverVector(timeOf(unixMs), observerOf(site), true);
    return unit({ x: seen.x - here.x, y: seen.y - here.y, z: seen.z - here.z });
  }
  const body = bodyOf(moving);
  const { ra, dec } = Equator(body, timeOf(unixMs), observerOf(site), true, true);
  const rightAscension = ra * 15 * RADIANS_PER_DEGREE;
  const declination = dec * RADIANS_PER_DEGREE;
  return {
    x: Math.cos(declination) * Math.cos(rightAscension),
    y: Math.cos(declination) * Math.sin(rightAscension),
    z: Math.sin(declination),
  };
}
