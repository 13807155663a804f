/** Directions at the site as unit vectors: north, east, up. */
import type { Radians } from "../base/units.js";
import type { HourPlace } from "../sky/track.js";

/** A vector in the site's horizontal frame. */
export interface Horizontal {
  readonly north: number;
  readonly east: number;
  readonly up: number;
}

/**
 * Unit vector towards a place; the rotation by the latitude is the one behind
 * sin h = sin φ sin δ + cos φ cos δ cos H (Meeus, Astronomical Algorithms, 2nd ed., ch. 13).
 */
export function directionTo(place: HourPlace, latitudeRadians: Radians): Horizontal {
  const sinLatitude = Math.sin(latitudeRadians);
  const cosLatitude = Math.cos(latitudeRadians);
  const sinDeclination = Math.sin(place.declinationRadians);
  const cosDeclination = Math.cos(place.declinationRadians);
  const towardsEquator = cosDeclination * Math.cos(place.hourAngleRadians);
  return {
    north: cosLatitude * sinDeclination - sinLatitude * towardsEquator,
    east: -cosDeclination * Math.sin(place.hourAngleRadians),
    up: sinLatitude * sinDeclination + cosLatitude * towardsEquator,
  };
}
