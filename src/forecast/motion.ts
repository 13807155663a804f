/**
 * The telescope's aim at each group's target, worked out again and again without allocating: the same geometry
 * as src/observatory/aim.ts, prepared for targets that keep their place.
 */
import { DEGREES_PER_RADIAN, type Degrees, RADIANS_PER_DEGREE, type UtcMillis } from "../base/units.js";
import { aimAtPlace } from "../observatory/aim.js";
import type { Observatory } from "../observatory/observatory.js";
import { siderealRadians } from "../sky/sidereal.js";
import { placeAt, type Track } from "../sky/track.js";

export class Motion {
  /** The aim last worked out; see `Aim`. */
  firstAxisDegrees: Degrees = 0;
  secondAxisDegrees: Degrees = 0;
  flipped = false;
  domeAzimuthDegrees: Degrees = 0;
  private readonly x: Float64Array;
  private readonly y: Float64Array;
  private readonly z: Float64Array;
  private readonly rightAscension: Float64Array;
  private readonly declinationDegrees: Float64Array;
  private readonly sinLatitude: number;
  private readonly cosLatitude: number;
  private readonly german: boolean;
  private readonly altazimuth: boolean;

  constructor(
    private readonly observatory: Observatory,
    private readonly tracks: readonly Track[],
  ) {
    const latitude = observatory.site.latitudeDegrees * RADIANS_PER_DEGREE;
    this.sinLatitude = Math.sin(latitude);
    this.cosLatitude = Math.cos(latitude);
    this.german = observatory.mount.kind === "german-equatorial";
    this.altazimuth = observatory.mount.kind === "altazimuth";
    this.x = Float64Array.from(tracks, ({ direction }) => direction.x);
    this.y = Float64Array.from(tracks, ({ direction }) => direction.y);
    this.z = Float64Array.from(tracks, ({ direction }) => direction.z);
    this.rightAscension = Float64Array.from(tracks, ({ direction }) => Math.atan2(direction.y, direction.x));
    this.declinationDegrees = Float64Array.from(
      tracks,
      ({ direction }) => Math.asin(Math.max(-1, Math.min(1, direction.z))) * DEGREES_PER_RADIAN,
    );
  }

  /** The aim when the telescope begins to look at a group's target. */
  start(group: number, unixMs: UtcMillis): void {
    this.aim(group, unixMs, false, false);
  }

  /** The aim later on, when the mount has followed the target since the aim last worked out. */
  follow(group: number, unixMs: UtcMillis): void {
    const startDegrees = this.firstAxisDegrees;
    this.aim(group, unixMs, true, this.flipped);
    this.firstAxisDegrees -= 360 * Math.round((this.firstAxisDegrees - startDegrees) / 360);
  }

  private aim(group: number, unixMs: UtcMillis, keepsSide: boolean, side: boolean): void {
    const track = this.tracks[group] as Track;
    if (track.nodes !== null) {
      this.aimAtBody(track, unixMs, keepsSide ? side : undefined);
      return;
    }
    const theta = siderealRadians(unixMs, this.observatory.site);
    const turned = theta - this.rightAscension[group]!;
    const hourAngle = turned - Math.floor((turned + Math.PI) / (2 * Math.PI)) * 2 * Math.PI;
    const flipped = this.german && (keepsSide ? side : hourAngle < 0);
    const { dome } = this.observatory;
    if (dome !== null || this.altazimuth) this.lookAlong(group, theta, hourAngle, flipped);
    if (this.altazimuth) return;
    const declination = this.declinationDegrees[group]!;
    const south = this.observatory.site.latitudeDegrees < 0;
    this.firstAxisDegrees = hourAngle * DEGREES_PER_RADIAN + (flipped ? 180 : 0);
    this.secondAxisDegrees = flipped ? (south ? -180 : 180) - declination : declination;
    this.flipped = flipped;
  }

  /** The slit, and an altazimuth mount's axes, from the direction at the site. */
  private lookAlong(group: number, theta: number, hourAngle: number, flipped: boolean): void {
    const { sinLatitude, cosLatitude } = this;
    const cosTheta = Math.cos(theta);
    const sinTheta = Math.sin(theta);
    const towardsMeridian = this.x[group]! * cosTheta + this.y[group]! * sinTheta;
    const east = this.y[group]! * cosTheta - this.x[group]! * sinTheta;
    const north = cosLatitude * this.z[group]! - sinLatitude * towardsMeridian;
    const up = sinLatitude * this.z[group]! + cosLatitude * towardsMeridian;
    this.turnDome(north, east, up, hourAngle, flipped);
    if (!this.altazimuth) return;
    const azimuth = Math.atan2(east, north) * DEGREES_PER_RADIAN;
    this.firstAxisDegrees = azimuth < 0 ? azimuth + 360 : azimuth;
    this.secondAxisDegrees = Math.asin(Math.max(-1, Math.min(1, up))) * DEGREES_PER_RADIAN;
    this.flipped = false;
  }

  private turnDome(
    lineNorth: number,
    lineEast: number,
    lineUp: number,
    hourAngle: number,
    flipped: boolean,
  ): void {
    const { dome } = this.observatory;
    if (dome === null) {
      this.domeAzimuthDegrees = 0;
      return;
    }
    let { north, east, up } = dome.mountOffsetMetres;
    const tube = dome.tubeOffsetMetres;
    if (tube !== 0 && this.altazimuth) {
      const level = Math.sqrt(lineNorth * lineNorth + lineEast * lineEast) || 1;
      north -= (tube * lineEast) / level;
      east += (tube * lineNorth) / level;
    } else if (tube !== 0) {
      const side = flipped ? -tube : tube;
      const sine = Math.sin(hourAngle) * side;
      north -= this.sinLatitude * sine;
      east += Math.cos(hourAngle) * side;
      up += this.cosLatitude * sine;
    }
    const radius = dome.diameterMetres / 2;
    const along = north * lineNorth + east * lineEast + up * lineUp;
    const inside = radius * radius - (north * north + east * east + up * up);
    const distance = Math.sqrt(along * along + inside) - along;
    const azimuth = Math.atan2(east + distance * lineEast, north + distance * lineNorth) * DEGREES_PER_RADIAN;
    this.domeAzimuthDegrees = azimuth < 0 ? azimuth + 360 : azimuth;
  }

  private aimAtBody(track: Track, unixMs: UtcMillis, side: boolean | undefined): void {
    const aim = aimAtPlace(placeAt(track, unixMs), this.observatory, side);
    this.firstAxisDegrees = aim.firstAxisDegrees;
    this.secondAxisDegrees = aim.secondAxisDegrees;
    this.flipped = aim.flipped;
    this.domeAzimuthDegrees = aim.domeAzimuthDegrees;
  }
}
