/** Whether the tube may be sent to coordinates: asked of the very numbers that go out, whatever has been planned. */
import { DEGREES_PER_RADIAN, RADIANS_PER_DEGREE, type UtcMillis } from "../base/units.js";
import { type EquatorialPlace, equatorial, sunAltitudeDegrees } from "../sky/place-at.js";
import { siderealRadians } from "../sky/sidereal.js";
import { angleBetween, type HourPlace } from "../sky/track.js";
import type { Vector3 } from "../sky/vector.js";
import { directionTo } from "./direction.js";
import { maskAltitude } from "./horizon-mask.js";
import type { Observatory } from "./observatory.js";

/** Hour angle (−π to π) and declination at an instant. */
export function hourPlaceOf(place: EquatorialPlace, unixMs: UtcMillis, { site }: Observatory): HourPlace {
  const angle = siderealRadians(unixMs, site) - place.rightAscensionRadians;
  const hourAngleRadians = angle - 2 * Math.PI * Math.round(angle / (2 * Math.PI));
  return { hourAngleRadians, declinationRadians: place.declinationRadians };
}

/**
 * Why the tube must not look at a place (of date) at an instant, a clause; null when it may. The Sun's limits, the
 * altitude limit and the horizon mask, and what the mount cannot do; not the Moon, which harms nobody.
 * @param bright whether the target may be observed in brighter twilight
 */
export function whyNotThere(
  place: EquatorialPlace,
  unixMs: UtcMillis,
  observatory: Observatory,
  bright: boolean,
): string | null {
  const { limits, site, mount } = observatory;
  const fromSun = angleBetween(unitOf(place), unitOf(equatorial("Sun", unixMs, site)));
  if (!(fromSun >= limits.sunSeparationDegrees))
    return `it is ${degrees(fromSun)} from the Sun, and the limit is ${degrees(limits.sunSeparationDegrees)}`;
  const sun = sunAltitudeDegrees(unixMs, site);
  const sunLimit = bright ? limits.brightSunAltitudeDegrees : limits.sunAltitudeDegrees;
  if (sun > sunLimit) return `the Sun stands at ${degrees(sun)}, and the limit is ${degrees(sunLimit)}`;
  const hour = hourPlaceOf(place, unixMs, observatory);
  const line = directionTo(hour, site.latitudeDegrees * RADIANS_PER_DEGREE);
  const altitude = Math.asin(Math.max(-1, Math.min(1, line.up))) * DEGREES_PER_RADIAN;
  const azimuth = Math.atan2(line.east, line.north) * DEGREES_PER_RADIAN;
  if (altitude < limits.altitudeDegrees)
    return `its altitude is ${degrees(altitude)}, and the limit is ${degrees(limits.altitudeDegrees)}`;
  const mask = maskAltitude(azimuth, limits);
  if (altitude < mask)
    return `its altitude is ${degrees(altitude)}, and what stands on the horizon there reaches ${degrees(mask)}`;
  const hours = Math.abs(hour.hourAngleRadians) * (DEGREES_PER_RADIAN / 15);
  if (limits.hourAngleHours !== null && hours > limits.hourAngleHours)
    return `it is ${hours.toFixed(1)} h from the meridian, and the limit is ${limits.hourAngleHours} h`;
  if (mount.kind === "altazimuth" && 90 - altitude < (limits.zenithHoleDegrees ?? 0))
    return "it is too near the zenith for this mount";
  return null;
}

function unitOf({ rightAscensionRadians, declinationRadians }: EquatorialPlace): Vector3 {
  const along = Math.cos(declinationRadians);
  return {
    x: along * Math.cos(rightAscensionRadians),
    y: along * Math.sin(rightAscensionRadians),
    z: Math.sin(declinationRadians),
  };
}

function degrees(value: number): string {
  return `${value.toFixed(1)}°`.replace("-", "−");
}
