/** A target's way across one night's sky, prepared so that its altitude costs a handful of multiplications. */
import { DEGREES_PER_RADIAN, type Degrees, type Radians, type UtcMillis } from "../base/units.js";
import { apparentDirection, type MovingBody, movingPart } from "./ephemeris.js";
import { type Ground, groundOf } from "./ground.js";
import type { Night } from "./night.js";
import { type Nodes, nodesOf, placeBetween } from "./nodes.js";
import { siderealRadians, wrapped } from "./sidereal.js";
import type { Site } from "./site.js";
import type { Target } from "./target.js";
import { unit, type Vector3 } from "./vector.js";

export { siderealRadians } from "./sidereal.js";

/** Made by `trackOf`; read with the functions below. */
export interface Track {
  /**
   * sin h = s0 + s1 cos θ + s2 sin θ, with θ the local sidereal angle: holds all night for a fixed target;
   * for a moving body only about the middle of the night and without parallax (use `sinAltitude`).
   */
  readonly s0: number;
  readonly s1: number;
  readonly s2: number;
  /** A moving body's places through the night; null for a fixed target. */
  readonly nodes: Nodes | null;
  /** Unit vector at the middle of the night, true equator and equinox of date; geocentric for a moving body. */
  readonly direction: Vector3;
  /** Right ascension and declination of `direction`. */
  readonly rightAscensionRadians: Radians;
  readonly declinationRadians: Radians;
  readonly site: Site;
  readonly ground: Ground;
}

/** Hour angle, west positive, within (−π, π], and declination: of date, topocentric for a body. */
export interface HourPlace {
  readonly hourAngleRadians: Radians;
  readonly declinationRadians: Radians;
}

/** Altitude (true, unrefracted) and azimuth from north through east, [0, 360). */
export interface HorizontalPlace {
  readonly altitudeDegrees: Degrees;
  readonly azimuthDegrees: Degrees;
}

/** Prepares a target for a night; good for a few hours beyond its ends, too. */
export function trackOf(target: Target, night: Night, site: Site): Track {
  if (target.kind === "fixed") return makeTrack(apparentDirection(target, middleOf(night)), null, site);
  return bodyTrack(movingPart(target), night, site);
}

/** The same for whatever moves: the Sun too. */
export function bodyTrack(body: MovingBody, night: Night, site: Site): Track {
  const nodes = nodesOf(body, night);
  return makeTrack(unit(placeBetween(nodes, middleOf(night))), nodes, site);
}

/**
 * Sine of the true altitude. A caller that asks for many targets at one instant computes
 * cos θ and sin θ once (θ from `siderealRadians`).
 */
export function sinAltitude(track: Track, unixMs: UtcMillis, cosTheta: number, sinTheta: number): number {
  if (track.nodes === null) return track.s0 + track.s1 * cosTheta + track.s2 * sinTheta;
  const { sinLatitude, cosLatitude, axialAu, equatorialAu, zenithAu } = track.ground;
  const place = placeBetween(track.nodes, unixMs);
  const towardsMeridian = place.x * cosTheta + place.y * sinTheta;
  const up = sinLatitude * place.z + cosLatitude * towardsMeridian - zenithAu;
  const along = towardsMeridian * equatorialAu + place.z * axialAu;
  const squared = place.x ** 2 + place.y ** 2 + place.z ** 2 - 2 * along + axialAu ** 2 + equatorialAu ** 2;
  return up / Math.sqrt(squared);
}

/** The same when only the instant is at hand. */
export function sinAltitudeAt(track: Track, unixMs: UtcMillis): number {
  const theta = siderealRadians(unixMs, track.site);
  return sinAltitude(track, unixMs, Math.cos(theta), Math.sin(theta));
}

/** Unit vector towards the target as seen from the site, true equator and equinox of date. */
export function directionAt(track: Track, unixMs: UtcMillis): Vector3 {
  if (track.nodes === null) return track.direction;
  const { axialAu, equatorialAu } = track.ground;
  const theta = siderealRadians(unixMs, track.site);
  const place = placeBetween(track.nodes, unixMs);
  return unit({
    x: place.x - equatorialAu * Math.cos(theta),
    y: place.y - equatorialAu * Math.sin(theta),
    z: place.z - axialAu,
  });
}

/** Hour angle and declination at an instant. */
export function placeAt(track: Track, unixMs: UtcMillis): HourPlace {
  const theta = siderealRadians(unixMs, track.site);
  if (track.nodes === null)
    return {
      hourAngleRadians: wrapped(theta - track.rightAscensionRadians),
      declinationRadians: track.declinationRadians,
    };
  const direction = directionAt(track, unixMs);
  return {
    hourAngleRadians: wrapped(theta - rightAscension(direction)),
    declinationRadians: declination(direction),
  };
}

/** Altitude and azimuth at an instant (Meeus, Astronomical Algorithms, ch. 13, azimuth counted from north). */
export function horizontalOf(track: Track, unixMs: UtcMillis, site: Site = track.site): HorizontalPlace {
  const direction = directionAt(track, unixMs);
  const theta = siderealRadians(unixMs, site);
  const { sinLatitude, cosLatitude } = groundOf(site);
  const towardsMeridian = direction.x * Math.cos(theta) + direction.y * Math.sin(theta);
  const east = direction.y * Math.cos(theta) - direction.x * Math.sin(theta);
  const north = cosLatitude * direction.z - sinLatitude * towardsMeridian;
  const up = sinLatitude * direction.z + cosLatitude * towardsMeridian;
  const azimuth = Math.atan2(east, north) * DEGREES_PER_RADIAN;
  return {
    altitudeDegrees: Math.atan2(up, Math.hypot(east, north)) * DEGREES_PER_RADIAN,
    azimuthDegrees: azimuth < 0 ? (azimuth + 360) % 360 : azimuth,
  };
}

/** Angle between two directions, degrees; exact for small and for opposite ones (Kahan's half-angle form). */
export function angleBetween(a: Vector3, b: Vector3): Degrees {
  const apart = Math.hypot(a.x - b.x, a.y - b.y, a.z - b.z);
  const together = Math.hypot(a.x + b.x, a.y + b.y, a.z + b.z);
  return 2 * Math.atan2(apart, together) * DEGREES_PER_RADIAN;
}

function makeTrack(direction: Vector3, nodes: Nodes | null, site: Site): Track {
  const ground = groundOf(site);
  return {
    s0: ground.sinLatitude * direction.z,
    s1: ground.cosLatitude * direction.x,
    s2: ground.cosLatitude * direction.y,
    nodes,
    direction,
    rightAscensionRadians: rightAscension(direction),
    declinationRadians: declination(direction),
    site,
    ground,
  };
}

function rightAscension({ x, y }: Vector3): Radians {
  return Math.atan2(y, x);
}

function declination({ x, y, z }: Vector3): Radians {
  return Math.atan2(z, Math.hypot(x, y));
}

function middleOf(night: Night): UtcMillis {
  return (night.startUnixMs + night.endUnixMs) / 2;
}
