/** Where the telescope looks, from the angles of its axes (the way back from `aimAtPlace`), and where it stands parked. */
import { DEGREES_PER_RADIAN, RADIANS_PER_DEGREE } from "../base/units.js";
import type { HorizontalPlace, HourPlace } from "../sky/track.js";
import { directionTo } from "./direction.js";
import type { Observatory, Pointing } from "./observatory.js";

/** Altitude and azimuth (true, from north through east, [0, 360)) of what the tube points at. */
export function looksAt(pointing: Pointing, { mount, site }: Observatory): HorizontalPlace {
  const { firstAxisDegrees, secondAxisDegrees } = pointing;
  if (mount.kind === "altazimuth") {
    return { altitudeDegrees: secondAxisDegrees, azimuthDegrees: turned(firstAxisDegrees) };
  }
  const { hourAngleDegrees, declinationDegrees } = equatorialOf(pointing, site.latitudeDegrees);
  const place = {
    hourAngleRadians: hourAngleDegrees * RADIANS_PER_DEGREE,
    declinationRadians: declinationDegrees * RADIANS_PER_DEGREE,
  };
  return horizontalFrom(place, site);
}

/** The same of a place by its hour angle. */
export function horizontalFrom(place: HourPlace, { latitudeDegrees }: Observatory["site"]): HorizontalPlace {
  const line = directionTo(place, latitudeDegrees * RADIANS_PER_DEGREE);
  return {
    altitudeDegrees: Math.atan2(line.up, Math.hypot(line.east, line.north)) * DEGREES_PER_RADIAN,
    azimuthDegrees: turned(Math.atan2(line.east, line.north) * DEGREES_PER_RADIAN),
  };
}

/** On a flipped German mount the hour angle is half a turn less and the declination counts beyond the pole. */
function equatorialOf({ firstAxisDegrees, secondAxisDegrees, flipped }: Pointing, latitudeDegrees: number) {
  if (!flipped) return { hourAngleDegrees: firstAxisDegrees, declinationDegrees: secondAxisDegrees };
  const pole = latitudeDegrees < 0 ? -180 : 180;
  return { hourAngleDegrees: firstAxisDegrees - 180, declinationDegrees: pole - secondAxisDegrees };
}

function turned(degrees: number): number {
  return ((degrees % 360) + 360) % 360;
}

/**
 * Parked: an equatorial tube at the pole (a German mount with its counterweight straight down), an
 * altazimuth one upright; slit to the north, shutter shut, filter wheel at its first slot.
 * Common practice, no source.
 */
export function parkedPointing(observatory: Observatory): Pointing {
  const { kind } = observatory.mount;
  const pole = observatory.site.latitudeDegrees < 0 ? -90 : 90;
  return {
    firstAxisDegrees: kind === "german-equatorial" ? 90 : 0,
    secondAxisDegrees: kind === "altazimuth" ? 90 : pole,
    flipped: false,
    domeAzimuthDegrees: 0,
    filterSlot: 0,
    shutterOpen: false,
  };
}
