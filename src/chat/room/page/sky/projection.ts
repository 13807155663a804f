/** Where a point of the sky stands on the drawn dome. */

/** Degrees that the sky turns in an hour of time: 360° in one sidereal day (23 h 56 min 4.09 s). */
const DEGREES_PER_HOUR = 15.0410686;
const RADIANS = Math.PI / 180;

export interface Standing {
  /** Degrees above the horizon, true. */
  readonly altitude: number;
  /** Degrees from north through east, 0 to 360. */
  readonly azimuth: number;
}

/**
 * Altitude and azimuth of a point `hours` after its hour angle was `ha` (degrees, west positive):
 * Meeus, Astronomical Algorithms, ch. 13, azimuth counted from north.
 */
export function standing(point: { ha: number; dec: number }, hours: number, latitude: number): Standing {
  const h = (point.ha + hours * DEGREES_PER_HOUR) * RADIANS;
  const dec = point.dec * RADIANS;
  const phi = latitude * RADIANS;
  const sinAltitude = Math.sin(phi) * Math.sin(dec) + Math.cos(phi) * Math.cos(dec) * Math.cos(h);
  const south = Math.atan2(Math.sin(h), Math.cos(h) * Math.sin(phi) - Math.tan(dec) * Math.cos(phi));
  return {
    altitude: Math.asin(Math.min(1, Math.max(-1, sinAltitude))) / RADIANS,
    azimuth: (south / RADIANS + 180 + 360) % 360,
  };
}

/** As seen lying on one's back, feet to the south: north up, east to the left; the horizon is the unit circle. */
export function onDome({ altitude, azimuth }: Standing): { x: number; y: number } {
  const radius = (90 - altitude) / 90;
  return { x: -radius * Math.sin(azimuth * RADIANS), y: -radius * Math.cos(azimuth * RADIANS) };
}

/**
 * The outline of the sky that a dome's slit leaves open: a strip as wide at the zenith, and a little past it, as
 * at the horizon. Its edges are small circles, `halfWidth` from the great circle through the zenith.
 * @param azimuth degrees, the slit's middle
 * @param halfWidth degrees at the dome's centre
 */
export function slitOutline(azimuth: number, halfWidth: number): Standing[] {
  const along = Array.from({ length: SLIT_STEPS + 1 }, (_, step) => {
    return -halfWidth + ((90 + halfWidth) * step) / SLIT_STEPS;
  });
  const left = along.map((zenithDistance) => besideSlit(azimuth, zenithDistance, halfWidth));
  const right = along.map((zenithDistance) => besideSlit(azimuth, zenithDistance, -halfWidth));
  return [...left, ...right.reverse()];
}

/** Points of each edge of the slit as drawn. */
const SLIT_STEPS = 12;

/** A point `along` degrees from the zenith toward an azimuth, then `aside` degrees at a right angle. */
function besideSlit(azimuth: number, along: number, aside: number): Standing {
  const up = Math.cos(aside * RADIANS) * Math.cos(along * RADIANS);
  const ahead = Math.cos(aside * RADIANS) * Math.sin(along * RADIANS);
  const right = Math.sin(aside * RADIANS);
  const turn = Math.atan2(right, ahead) / RADIANS;
  return { altitude: Math.asin(up) / RADIANS, azimuth: (azimuth + turn + 360) % 360 };
}

const POINTS = ["north", "north-east", "east", "south-east", "south", "south-west", "west", "north-west"];

/** "south-east" */
export function directionWord(azimuth: number): string {
  return POINTS[Math.round(azimuth / 45) % 8] as string;
}
