/** How wide and how round a frame's stars are: from the brighter patches of light that stand alone. */

import { localLevels } from "./detect-stars.js";
import { middleOf, type PixelImage } from "./pixel-statistics.js";

/** Medians over the patches measured. */
export interface StarShapes {
  readonly count: number;
  /** Full width at half maximum, geometric mean of both axes, pixels. */
  readonly fwhmPixels: number;
  /** Long axis over short axis. */
  readonly elongation: number;
  /** How far the long axes agree: 0 for any direction, 1 for all the same. A trail has one direction; pairs of stars have any. */
  readonly alignment: number;
}

interface Shape {
  readonly fwhm: number;
  readonly elongation: number;
  /** Twice the direction of the long axis, so that opposite directions are one; radians. */
  readonly doubledAngle: number;
}

/** Second moments about the centre, pixels squared. */
interface Moments {
  readonly xx: number;
  readonly yy: number;
  readonly xy: number;
}

/** A pixel of a patch: its place, and its light above the background. */
interface Lit {
  readonly x: number;
  readonly y: number;
  readonly light: number;
}

/** In units of the noise: what belongs to a patch, and what a patch must reach. */
const EDGE_SIGNIFICANCE = 4;
const PEAK_SIGNIFICANCE = 15;
/** A hot pixel or a cosmic ray lights fewer; nebulae, galaxies and the Moon more. */
const LEAST_PIXELS = 5;
const MOST_PIXELS = 3_000;
const MOST_PATCHES = 400;
/** Fewer say nothing of a frame. */
const LEAST_PATCHES = 5;
/** Pixels brighter than this share of the peak make the core. */
const CORE = 0.25;
/** Moments and core as different as this: a ring or a streak, which has no bell-shaped core. */
const NO_CORE = 1.7;
/** Full width at half maximum of a Gaussian of standard deviation 1. */
const FWHM_PER_SIGMA = 2 * Math.sqrt(2 * Math.LN2);

/**
 * @param saturationAdu patches that reach it are left out: their tops are cut off
 * @returns null when too few stand alone
 */
export function starShapes(image: PixelImage, noiseAdu: number, saturationAdu: number): StarShapes | null {
  const shapes: Shape[] = [];
  for (const patch of patchesOf(image, noiseAdu, saturationAdu)) {
    const shape = shapeOf(patch);
    if (shape) shapes.push(shape);
    if (shapes.length >= MOST_PATCHES) break;
  }
  if (shapes.length < LEAST_PATCHES) return null;
  const mean = (part: (angle: number) => number): number =>
    shapes.reduce((sum, { doubledAngle }) => sum + part(doubledAngle), 0) / shapes.length;
  return {
    count: shapes.length,
    fwhmPixels: middleOf(Float32Array.from(shapes, ({ fwhm }) => fwhm).sort()),
    elongation: middleOf(Float32Array.from(shapes, ({ elongation }) => elongation).sort()),
    alignment: Math.hypot(mean(Math.cos), mean(Math.sin)),
  };
}

/** Connected pixels that stand out of the local background, away from the frame's edge. */
function* patchesOf(image: PixelImage, noiseAdu: number, saturationAdu: number): Generator<readonly Lit[]> {
  const { width, height, pixels } = image;
  const levelAt = localLevels(image);
  const seen = new Uint8Array(width * height);
  const light = (at: number): number => (pixels[at] as number) - levelAt(at % width, Math.floor(at / width));
  for (let at = 0; at < seen.length; at++) {
    if (seen[at] === 1 || light(at) < PEAK_SIGNIFICANCE * noiseAdu) continue;
    const found = [at];
    seen[at] = 1;
    let sound = true;
    for (let next = 0; next < found.length; next++) {
      const from = found[next] as number;
      const [x, y] = [from % width, Math.floor(from / width)];
      if (x === 0 || y === 0 || x === width - 1 || y === height - 1) sound = false;
      if ((pixels[from] as number) >= saturationAdu || found.length > MOST_PIXELS) sound = false;
      for (let dy = y === 0 ? 0 : -1; dy <= (y === height - 1 ? 0 : 1); dy++) {
        for (let dx = x === 0 ? 0 : -1; dx <= (x === width - 1 ? 0 : 1); dx++) {
          const to = from + dy * width + dx;
          if (seen[to] === 1 || light(to) < EDGE_SIGNIFICANCE * noiseAdu) continue;
          seen[to] = 1;
          found.push(to);
        }
      }
    }
    if (sound && found.length >= LEAST_PIXELS)
      yield found.map((each) => ({ x: each % width, y: Math.floor(each / width), light: light(each) }));
  }
}

function shapeOf(patch: readonly Lit[]): Shape | null {
  const whole = axesOf(momentsOf(patch));
  if (whole === null) return null;
  const core = coreMoments(patch);
  const fitted = core && axesOf(core);
  const ratio = fitted ? whole.fwhm / fitted.fwhm : 0;
  return fitted && ratio < NO_CORE && ratio > 1 / NO_CORE ? fitted : whole;
}

function momentsOf(patch: readonly Lit[]): Moments {
  const sum = (of: (lit: Lit) => number): number =>
    patch.reduce((total, lit) => total + lit.light * of(lit), 0);
  const all = sum(() => 1);
  const [x, y] = [sum((lit) => lit.x) / all, sum((lit) => lit.y) / all];
  return {
    xx: sum((lit) => (lit.x - x) ** 2) / all,
    yy: sum((lit) => (lit.y - y) ** 2) / all,
    xy: sum((lit) => (lit.x - x) * (lit.y - y)) / all,
  };
}

/** null for what has no width. */
function axesOf({ xx, yy, xy }: Moments): Shape | null {
  const [middle, apart] = [(xx + yy) / 2, Math.hypot((xx - yy) / 2, xy)];
  if (!(middle - apart > 1e-3)) return null;
  const [long, short] = [Math.sqrt(middle + apart), Math.sqrt(middle - apart)];
  return {
    fwhm: FWHM_PER_SIGMA * Math.sqrt(long * short),
    elongation: long / short,
    doubledAngle: Math.atan2(xy, (xx - yy) / 2),
  };
}

/**
 * A Gaussian through the core: the logarithm of the light is a parabola in x and y, fitted with weights that go as
 * the square of the light (Guo 2011, IEEE Signal Processing Magazine 28(5), 134; here in two dimensions).
 * @returns null where the light does not fall off on all sides
 */
function coreMoments(patch: readonly Lit[]): Moments | null {
  const peak = patch.reduce((best, lit) => (lit.light > best.light ? lit : best));
  const core = patch.filter(({ light }) => light > CORE * peak.light);
  if (core.length < 7) return null;
  const rows: number[][] = Array.from({ length: 6 }, () => new Array<number>(7).fill(0));
  for (const { x, y, light } of core) {
    const [dx, dy, weight] = [x - peak.x, y - peak.y, (light / peak.light) ** 2];
    const terms = [1, dx, dy, dx * dx, dx * dy, dy * dy, Math.log(light / peak.light)];
    for (let row = 0; row < 6; row++)
      for (let column = 0; column < 7; column++)
        (rows[row] as number[])[column]! += weight * terms[row]! * terms[column]!;
  }
  const solved = solve(rows);
  if (solved === null) return null;
  const [xx, xy, yy] = [-2 * solved[3]!, -solved[4]!, -2 * solved[5]!];
  const determinant = xx * yy - xy * xy;
  if (!(xx > 0 && yy > 0 && determinant > 0)) return null;
  return { xx: yy / determinant, yy: xx / determinant, xy: -xy / determinant };
}

/** Gaussian elimination with the largest pivot; null for equations that have no single answer. */
function solve(rows: number[][]): number[] | null {
  const size = rows.length;
  for (let step = 0; step < size; step++) {
    const best = rows
      .slice(step)
      .reduce((most, row) => (Math.abs(row[step]!) > Math.abs(most[step]!) ? row : most));
    if (Math.abs(best[step]!) < 1e-12) return null;
    const from = rows.indexOf(best);
    [rows[step], rows[from]] = [best, rows[step]!];
    for (const row of rows) {
      if (row === best) continue;
      const factor = row[step]! / best[step]!;
      for (let column = step; column <= size; column++) row[column]! -= factor * best[column]!;
    }
  }
  return rows.map((row, index) => row[size]! / row[index]!);
}
