/** Which axis angles and slit azimuth point the telescope at a place. */
import {
  DEGREES_PER_RADIAN,
  type Degrees,
  RADIANS_PER_DEGREE,
  type Radians,
  type UtcMillis,
} from "../base/units.js";
import { SkyInstant } from "../sky/sky-instant.js";
import { type HourPlace, placeAt, type Track } from "../sky/track.js";
import type { Horizontal } from "./direction.js";
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
  const aiming = new Aiming(observatory);
  aiming.start(track, unixMs);
  return aiming.aim;
}

/**
 * The aim at a later instant when the mount has followed the target since `start`: the same side of the
 * pier, and no axis jumps by a whole turn. The dome has followed too.
 */
export function aimAfterTracking(start: Aim, track: Track, unixMs: UtcMillis, observatory: Observatory): Aim {
  const aiming = new Aiming(observatory);
  Object.assign(aiming.aim, start);
  aiming.follow(track, unixMs);
  return aiming.aim;
}

/**
 * The aim at a place, of date.
 * @param flipped the German mount's side of the pier; left out, the side for the target's hour angle
 */
export function aimAtPlace(place: HourPlace, observatory: Observatory, flipped?: boolean): Aim {
  const aiming = new Aiming(observatory);
  aiming.look(place, flipped);
  return aiming.aim;
}

type Mutable<Fields> = { -readonly [Name in keyof Fields]: Fields[Name] };

/** An aim that is worked out again and again, for playing nights: nothing is allocated but itself. */
export class Aiming {
  /** As last worked out. */
  readonly aim: Mutable<Aim> = {
    firstAxisDegrees: 0,
    secondAxisDegrees: 0,
    flipped: false,
    domeAzimuthDegrees: 0,
  };
  /** What it was last worked out for; null: not for a track. */
  private track: Track | null = null;
  private readonly instant: SkyInstant;
  private readonly line: Mutable<Horizontal> = { north: 0, east: 0, up: 0 };
  private readonly side: Mutable<Horizontal> = { north: 0, east: 0, up: 0 };
  private readonly sinLatitude: number;
  private readonly cosLatitude: number;
  private readonly german: boolean;
  private readonly altazimuth: boolean;

  constructor(private readonly observatory: Observatory) {
    const { kind } = observatory.mount;
    this.german = kind === "german-equatorial";
    this.altazimuth = kind === "altazimuth";
    const latitude = observatory.site.latitudeDegrees * RADIANS_PER_DEGREE;
    this.sinLatitude = Math.sin(latitude);
    this.cosLatitude = Math.cos(latitude);
    this.instant = new SkyInstant(observatory.site);
  }

  /** Begins to look at a target: see `aimAt`. Where it has just been followed to this very instant, it is known. */
  start(track: Track, unixMs: UtcMillis): void {
    const known = track === this.track && unixMs === this.instant.unixMs && this.isFresh();
    if (!known) this.at(track, unixMs, undefined);
  }

  /** The target as last aimed at has been followed to a later instant: see `aimAfterTracking`. */
  follow(track: Track, unixMs: UtcMillis): void {
    const { aim } = this;
    const startDegrees = aim.firstAxisDegrees;
    this.at(track, unixMs, aim.flipped);
    aim.firstAxisDegrees = nearestTurn(aim.firstAxisDegrees, startDegrees);
  }

  /** Looks at a place: see `aimAtPlace`. */
  look({ hourAngleRadians, declinationRadians }: HourPlace, flipped: boolean | undefined): void {
    const hourAngle = wrapped(hourAngleRadians);
    const cosDeclination = Math.cos(declinationRadians);
    const towardsMeridian = cosDeclination * Math.cos(hourAngle);
    const east = -cosDeclination * Math.sin(hourAngle);
    this.point(hourAngle, declinationRadians, towardsMeridian, east, Math.sin(declinationRadians), flipped);
  }

  /** Whether beginning anew would give the same: a fork's, unless followed past a half turn of its hour angle. */
  private isFresh(): boolean {
    const { firstAxisDegrees } = this.aim;
    return !this.german && !this.altazimuth && firstAxisDegrees >= -180 && firstAxisDegrees < 180;
  }

  private at(track: Track, unixMs: UtcMillis, flipped: boolean | undefined): void {
    this.track = track;
    this.instant.moveTo(unixMs);
    if (track.nodes !== null) {
      this.look(placeAt(track, unixMs), flipped);
      return;
    }
    const { theta, cosTheta, sinTheta } = this.instant;
    const { x, y, z } = track.direction;
    const hourAngle = wrapped(theta - track.rightAscensionRadians);
    const towardsMeridian = x * cosTheta + y * sinTheta;
    this.point(hourAngle, track.declinationRadians, towardsMeridian, y * cosTheta - x * sinTheta, z, flipped);
  }

  /**
   * Looks along a direction: its parts towards the meridian on the equator, east and the pole, and the same as
   * hour angle and declination. The turn by the latitude is that of Meeus, Astronomical Algorithms, 2nd ed., ch. 13.
   */
  private point(
    hourAngle: Radians,
    declination: Radians,
    towardsMeridian: number,
    east: number,
    towardsPole: number,
    side: boolean | undefined,
  ): void {
    const { aim, line, observatory, sinLatitude, cosLatitude } = this;
    aim.flipped = this.german && (side ?? hourAngle < 0);
    line.north = cosLatitude * towardsPole - sinLatitude * towardsMeridian;
    line.east = east;
    line.up = sinLatitude * towardsPole + cosLatitude * towardsMeridian;
    if (observatory.dome !== null) {
      if (this.altazimuth) this.besideAltitudeAxis();
      else this.besidePolarAxis(hourAngle);
      aim.domeAzimuthDegrees = slitAzimuthDegrees(observatory.dome, line, this.side);
    }
    if (this.altazimuth) this.turnAltazimuth();
    else this.turnEquatorial(hourAngle * DEGREES_PER_RADIAN, declination * DEGREES_PER_RADIAN);
  }

  private turnEquatorial(hourAngleDegrees: Degrees, declinationDegrees: Degrees): void {
    const { aim } = this;
    const pole = this.observatory.site.latitudeDegrees < 0 ? -180 : 180;
    aim.firstAxisDegrees = aim.flipped ? hourAngleDegrees + 180 : hourAngleDegrees;
    aim.secondAxisDegrees = aim.flipped ? pole - declinationDegrees : declinationDegrees;
  }

  private turnAltazimuth(): void {
    const { aim, line } = this;
    const azimuth = Math.atan2(line.east, line.north) * DEGREES_PER_RADIAN;
    aim.firstAxisDegrees = azimuth < 0 ? azimuth + 360 : azimuth;
    aim.secondAxisDegrees = Math.asin(Math.max(-1, Math.min(1, line.up))) * DEGREES_PER_RADIAN;
  }

  /**
   * Unit vector along the declination axis towards the tube: six hours east of where the tube looks
   * (a target to the west is seen from the pier's east side), six hours west when flipped.
   */
  private besidePolarAxis(hourAngle: Radians): void {
    const { side, aim } = this;
    const sign = aim.flipped ? -1 : 1;
    const sinHourAngle = Math.sin(hourAngle) * sign;
    side.north = -this.sinLatitude * sinHourAngle;
    side.east = Math.cos(hourAngle) * sign;
    side.up = this.cosLatitude * sinHourAngle;
  }

  /** Level, to the right of where the tube looks. */
  private besideAltitudeAxis(): void {
    const { side, line } = this;
    const level = Math.hypot(line.north, line.east) || 1;
    side.north = -line.east / level;
    side.east = line.north / level;
    side.up = 0;
  }
}

/** −π (included) to π (excluded): the lower meridian counts as east, about to rise. */
function wrapped(angle: Radians): Radians {
  return angle - Math.floor((angle + Math.PI) / (2 * Math.PI)) * 2 * Math.PI;
}

/** `angle` plus whole turns, so that it lies within half a turn of `reference`. */
function nearestTurn(angle: Degrees, reference: Degrees): Degrees {
  return angle - 360 * Math.round((angle - reference) / 360);
}
