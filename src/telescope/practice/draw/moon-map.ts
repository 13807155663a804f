/** A map of the Moon: the maria where they are, craters invented, as brightness and height. */
import type { Random } from "../../../base/random.js";

const MAP_WIDTH = 1440;
const MAP_HEIGHT = 720;
const PER_DEGREE = MAP_HEIGHT / 180;
/** One step of the map on the ground, in units of the Moon's radius. */
const GROUND_STEP = Math.PI / MAP_HEIGHT;

export interface MoonMap {
  /** Relative brightness, 1 for highland; rows from south to north, columns from 180° W eastward. */
  readonly albedo: Float32Array;
  /** Rise of the ground per distance, towards east and north. */
  readonly slopeEast: Float32Array;
  readonly slopeNorth: Float32Array;
}

/** Latitude, longitude (east positive), radius, darkness: degrees; rounded, from memory of the IAU gazetteer. */
const MARIA: readonly (readonly [number, number, number, number])[] = [
  [33, -16, 18, 0.45],
  [28, 17, 11, 0.45],
  [8, 31, 14, 0.48],
  [17, 59, 8, 0.48],
  [-8, 51, 12, 0.42],
  [-15, 35, 6, 0.42],
  [-21, -17, 11, 0.4],
  [-24, -39, 7, 0.45],
  [20, -56, 17, 0.42],
  [2, -46, 15, 0.42],
  [38, -58, 12, 0.4],
  [-10, -23, 8, 0.38],
  [13, 4, 5, 0.4],
  [56, -25, 7, 0.35],
  [57, 5, 7, 0.35],
  [55, 30, 7, 0.33],
  [13, 86, 6, 0.35],
];
/** Craters with bright rays: latitude, longitude, radius of the rays, degrees (from memory). */
const RAYS: readonly (readonly [number, number, number])[] = [
  [-43, -11, 22],
  [10, -20, 9],
  [8, -38, 6],
  [24, -47, 4],
  [-9, 61, 5],
];
const CRATERS = 2_500;

/** Draws the map; the same seed gives the same craters. */
export function moonMap(random: Random): MoonMap {
  const albedo = new Float32Array(MAP_WIDTH * MAP_HEIGHT).fill(1);
  const height = new Float32Array(MAP_WIDTH * MAP_HEIGHT);
  for (const [latitude, longitude, radius, darkness] of MARIA) {
    const ragged = 0.15 * random.uniform();
    paint(latitude, longitude, radius * 1.25, (share, angle, at) => {
      const edge = 0.8 + ragged * Math.sin(3 * angle) + 0.06 * Math.sin(7 * angle + 9 * ragged);
      const inside = Math.min(1, Math.max(0, (edge - share) * 6));
      albedo[at] = Math.min(albedo[at] as number, 1 - darkness * inside);
    });
  }
  for (const [latitude, longitude, radius] of RAYS) {
    paint(latitude, longitude, radius, (share, angle, at) => {
      const ray = 0.35 + 0.65 * Math.max(0, Math.sin(11 * angle + 3 * Math.sin(4 * angle))) ** 2;
      (albedo[at] as number) += 0.35 * (1 - share) ** 2 * ray;
    });
  }
  for (let crater = 0; crater < CRATERS; crater++) addCrater(albedo, height, random);
  return { albedo, ...slopesOf(height) };
}

function addCrater(albedo: Float32Array, height: Float32Array, random: Random): void {
  const latitude = (Math.asin(2 * random.uniform() - 1) * 180) / Math.PI;
  const longitude = 200 * random.uniform() - 100;
  // Many small ones for each large one: the number above a size falls as its square.
  const radius = Math.min(3.5, 0.4 / Math.sqrt(Math.max(1e-3, random.uniform())));
  const depth = 0.0022 * Math.sqrt(radius);
  // Lava has drowned most of the craters in the maria.
  const dark = between(latitude, longitude)(albedo) < 0.8;
  if (dark && random.uniform() < 0.8) return;
  paint(latitude, longitude, radius * 1.6, (share, _angle, at) => {
    const fromRim = share * 1.6 - 1;
    const bowl =
      fromRim < 0 ? Math.max(-depth, depth * (4 * fromRim + 0.6)) : depth * 0.6 * Math.exp(-6 * fromRim);
    (height[at] as number) += bowl;
  });
}

/** Visits the map's points within `radius` degrees: share of the radius, angle around the middle, index. */
function paint(
  latitude: number,
  longitude: number,
  radius: number,
  visit: (share: number, angle: number, at: number) => void,
): void {
  const shrink = Math.max(0.05, Math.cos((latitude * Math.PI) / 180));
  const first = Math.max(0, Math.ceil((latitude - radius + 90) * PER_DEGREE - 0.5));
  const last = Math.min(MAP_HEIGHT - 1, Math.floor((latitude + radius + 90) * PER_DEGREE - 0.5));
  const middle = (longitude + 180) * PER_DEGREE - 0.5;
  const reach = Math.min(MAP_WIDTH / 2 - 1, (radius / shrink) * PER_DEGREE);
  for (let row = first; row <= last; row++) {
    const y = (row + 0.5) / PER_DEGREE - 90 - latitude;
    for (let column = Math.ceil(middle - reach); column <= middle + reach; column++) {
      const x = ((column - middle) / PER_DEGREE) * shrink;
      const share = Math.hypot(x, y) / radius;
      const around = ((column % MAP_WIDTH) + MAP_WIDTH) % MAP_WIDTH;
      if (share < 1) visit(share, Math.atan2(y, x), row * MAP_WIDTH + around);
    }
  }
}

/** Rise of the ground towards east and north, from one neighbour to the other. */
function slopesOf(height: Float32Array): { slopeEast: Float32Array; slopeNorth: Float32Array } {
  const slopeEast = new Float32Array(height.length);
  const slopeNorth = new Float32Array(height.length);
  for (let row = 1; row < MAP_HEIGHT - 1; row++) {
    const shrink = Math.max(0.05, Math.cos((((row + 0.5) / PER_DEGREE - 90) * Math.PI) / 180));
    for (let column = 1; column < MAP_WIDTH - 1; column++) {
      const at = row * MAP_WIDTH + column;
      const east = (height[at + 1] as number) - (height[at - 1] as number);
      const north = (height[at + MAP_WIDTH] as number) - (height[at - MAP_WIDTH] as number);
      slopeEast[at] = east / (2 * GROUND_STEP * shrink);
      slopeNorth[at] = north / (2 * GROUND_STEP);
    }
  }
  return { slopeEast, slopeNorth };
}

/** A function that reads one layer between its points. */
export function between(latitude: number, longitude: number): (layer: Float32Array) => number {
  const y = Math.min(MAP_HEIGHT - 1.001, Math.max(0, (latitude + 90) * PER_DEGREE - 0.5));
  const x = (((longitude + 540) % 360) * PER_DEGREE - 0.5 + MAP_WIDTH) % MAP_WIDTH;
  const row = Math.floor(y);
  const column = Math.floor(x);
  const next = (column + 1) % MAP_WIDTH;
  const v = y - row;
  const u = x - column;
  const low = row * MAP_WIDTH;
  const high = low + MAP_WIDTH;
  return (layer) =>
    ((layer[low + column] as number) * (1 - u) + (layer[low + next] as number) * u) * (1 - v) +
    ((layer[high + column] as number) * (1 - u) + (layer[high + next] as number) * u) * v;
}
