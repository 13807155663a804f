/** Which axis angles and slit azimuth point the telescope at a place. */
import {
  DEGREES_PER_RADIAN,
  type Degrees,
  RADIANS_PER_DEGREE,
  type Radians,
  type UtcMillis,
} from "../base/units.js";
import { placeAt, type Track } from "../sky/track.js";
import { directionTo, type Horizontal, type Place } from "./direction.js";
import { slitAzimuthDegrees } from "./dome.js";
import type { Observatory } from "./observatory.js";

/**
 * Where the machines stand while they look at something.
 *
 * - Equatorial fork: hour angle (−180 to 180, west positive) and declination. The axis does not turn
 *   through the lower meridian when it slews, for its cables' sake.
 * - German equatorial: the same for a target west of the meridian, when the tube hangs east of the pier.
 *   For a target to the east it is flipped: hour angle + 180° and the declination axis beyond the pole.
 *   Both sides share the range 0 to 180, so a meridian flip is a half turn of the polar axis.
 * - Altazimuth: azimuth from north through east and altitude (true); the azimuth axis goes the shorter way.
 */
export interface Aim {
  readonly firstAxisDegrees: Degrees;
  readonly secondAxisDegrees: Degrees;
  readonly flipped: boolean;
  /** 0 where there is no dome. */
  readonly domeAzimuthDegrees: Degrees;
}

/** The aim at a target at an instant. A German mount takes the side that keeps its counterweight low. */
export function aimAt(track: Track, unixMs: UtcMillis, observatory: Observatory): Aim {
  return aimAtPlace(placeAt(track, unixMs), observatory);
}

/**
 * The aim at a later instant when the mount has followed the target since `start`: the same side of the
 * pier, and no axis jumps by a whole turn. The dome has followed too.
 */
export function aimAfterTracking(start: Aim, track: Track, unixMs: UtcMillis, observatory: Observatory): Aim {
  const end = aimAtPlace(placeAt(track, unixMs), observatory, start.flipped);
  return { ...end, firstAxisDegrees: nearestTurn(end.firstAxisDegrees, start.firstAxisDegrees) };
}

/**
 * The aim at a place, of date.
 * @param flipped the German mount's side of the pier; left out, the side for the target's hour angle
 */
export function aimAtPlace(place: Place, observatory: Observatory, flipped?: boolean): Aim {
  const { mount, dome, site } = observatory;
  const hourAngle = wrapped(place.hourAngleRadians);
  const german = mount.kind === "german-equatorial";
  const beyondPole = german && (flipped ?? hourAngle < 0);
  if (dome === null && mount.kind !== "altazimuth")
    return equatorialAim(hourAngle, place, beyondPole, site.latitudeDegrees, 0);

  const latitude = site.latitudeDegrees * RADIANS_PER_DEGREE;
  const line = directionTo(place, latitude);
  if (mount.kind === "altazimuth") {
    const slit = dome === null ? 0 : slitAzimuthDegrees(dome, line, besideAltitudeAxis(line));
    return altazimuthAim(line, slit);
  }
  const side = besidePolarAxis(hourAngle, latitude, beyondPole);
  const slit = dome === null ? 0 : slitAzimuthDegrees(dome, line, side);
  return equatorialAim(hourAngle, place, beyondPole, site.latitudeDegrees, slit);
}

function equatorialAim(
  hourAngle: Radians,
  place: Place,
  flipped: boolean,
  latitudeDegrees: Degrees,
  domeAzimuthDegrees: Degrees,
): Aim {
  const first = hourAngle * DEGREES_PER_RADIAN;
  const second = place.declinationRadians * DEGREES_PER_RADIAN;
  if (!flipped) return { firstAxisDegrees: first, secondAxisDegrees: second, flipped, domeAzimuthDegrees };
  const beyondPole = (latitudeDegrees < 0 ? -180 : 180) - second;
  return { firstAxisDegrees: first + 180, secondAxisDegrees: beyondPole, flipped, domeAzimuthDegrees };
}

function altazimuthAim(line: Horizontal, domeAzimuthDegrees: Degrees): Aim {
  const azimuth = Math.atan2(line.east, line.north) * DEGREES_PER_RADIAN;
  return {
    firstAxisDegrees: azimuth < 0 ? azimuth + 360 : azimuth,
    secondAxisDegrees: Math.asin(Math.max(-1, Math.min(1, line.up))) * DEGREES_PER_RADIAN,
    flipped: false,
    domeAzimuthDegrees,
  };
}

/**
 * Unit vector along the declination axis towards the tube: six hours east of where the tube looks
 * (a target to the west is seen from the pier's east side), six hours west when flipped.
 */
function besidePolarAxis(hourAngle: Radians, latitude: Radians, flipped: boolean): Horizontal {
  const sign = flipped ? -1 : 1;
  const sinHourAngle = Math.sin(hourAngle) * sign;
  return {
    north: -Math.sin(latitude) * sinHourAngle,
    east: Math.cos(hourAngle) * sign,
    up: Math.cos(latitude) * sinHourAngle,
  };
}

/** Level, to the right of where the tube looks. */
function besideAltitudeAxis(line: Horizontal): Horizontal {
  const level = Math.hypot(line.north, line.east) || 1;
  return { north: -line.east / level, east: line.north / level, up: 0 };
}

/** −π (included) to π (excluded): the lower meridian counts as east, about to rise. */
function wrapped(angle: Radians): Radians {
  const turns = Math.floor((angle + Math.PI) / (2 * Math.PI));
  return angle - turns * 2 * Math.PI;
}

/** `angle` plus whole turns, so that it lies within half a turn of `reference`. */
function nearestTurn(angle: Degrees, reference: Degrees): Degrees {
  return angle - 360 * Math.round((angle - reference) / 360);
}
