/** A sunlit ball, drawn pixel by pixel into a small patch and blurred by the seeing. */

import type { PixelPlace } from "../../frames/world-coordinates.js";
import { addSurface, type Light } from "../image.js";

/** A direction in the sky's own frame: east, north, towards us. */
export interface SkyVector {
  readonly east: number;
  readonly north: number;
  readonly near: number;
}

export function dot(a: SkyVector, b: SkyVector): number {
  return a.east * b.east + a.north * b.north + a.near * b.near;
}

/** The vector at a position angle (north through east), leaning towards us by `nearRadians`. */
export function towards(positionAngleRadians: number, nearRadians: number): SkyVector {
  return {
    east: Math.cos(nearRadians) * Math.sin(positionAngleRadians),
    north: Math.cos(nearRadians) * Math.cos(positionAngleRadians),
    near: Math.sin(nearRadians),
  };
}

/** A square of light around a place, odd sized, its middle pixel nearest the place. */
export interface Patch {
  readonly half: number;
  readonly values: Float32Array;
}

/**
 * Fills a patch, then scales it so that its sum is `electrons`.
 * @param shade relative brightness at an offset in pixels from the true centre
 */
export function shadedPatch(
  half: number,
  centre: PixelPlace,
  electrons: number,
  shade: (dx: number, dy: number) => number,
): Patch {
  const size = 2 * half + 1;
  const values = new Float32Array(size * size);
  const shiftX = Math.round(centre.x) - centre.x;
  const shiftY = Math.round(centre.y) - centre.y;
  let sum = 0;
  for (let row = 0; row < size; row++) {
    for (let column = 0; column < size; column++) {
      const value = shade(column - half + shiftX, row - half + shiftY);
      values[row * size + column] = value;
      sum += value;
    }
  }
  if (sum > 0) for (let i = 0; i < values.length; i++) (values[i] as number) *= electrons / sum;
  return { half, values };
}

/** Adds a patch after a Gaussian blur of the seeing's width, rows first and then columns. */
export function addBlurred(light: Light, centre: PixelPlace, patch: Patch, fwhmPixels: number): void {
  const size = 2 * patch.half + 1;
  const kernel = gaussianKernel(fwhmPixels / 2.3548);
  const values = blurColumns(blurRows(patch.values, size, kernel), size, kernel);
  const left = Math.round(centre.x) - patch.half;
  const bottom = Math.round(centre.y) - patch.half;
  for (let row = 0; row < size; row++) {
    const y = bottom + row;
    if (y < 0 || y >= light.height) continue;
    for (let column = 0; column < size; column++) {
      const x = left + column;
      if (x >= 0 && x < light.width)
        (light.electrons[y * light.width + x] as number) += values[row * size + column] as number;
    }
  }
}

/** Light scattered in the telescope and the air around something bright: a wide, faint glow (share from memory). */
export function addGlow(light: Light, centre: PixelPlace, electrons: number, radius: number): void {
  const scale = 3 * radius;
  const middle = (0.02 * electrons) / (Math.PI * scale * scale);
  addSurface(light, centre, 10 * scale, (dx, dy) => {
    const falling = 1 / (1 + (dx * dx + dy * dy) / (scale * scale));
    return middle * falling * falling;
  });
}

function gaussianKernel(sigma: number): Float32Array {
  const reach = Math.ceil(3 * sigma);
  const kernel = Float32Array.from({ length: 2 * reach + 1 }, (_, i) =>
    Math.exp(-0.5 * ((i - reach) / sigma) ** 2),
  );
  const sum = kernel.reduce((total, value) => total + value, 0);
  return kernel.map((value) => value / sum);
}

function blurRows(values: Float32Array, size: number, kernel: Float32Array): Float32Array {
  return blurred(values, size, kernel, 1, size);
}

function blurColumns(values: Float32Array, size: number, kernel: Float32Array): Float32Array {
  return blurred(values, size, kernel, size, 1);
}

/** Convolves along lines whose neighbours lie `step` apart and which begin `line` apart. */
function blurred(
  values: Float32Array,
  size: number,
  kernel: Float32Array,
  step: number,
  line: number,
): Float32Array {
  const reach = (kernel.length - 1) / 2;
  const result = new Float32Array(values.length);
  for (let start = 0; start < size; start++) {
    for (let i = 0; i < size; i++) {
      let sum = 0;
      const from = Math.max(-reach, -i);
      const to = Math.min(reach, size - 1 - i);
      for (let k = from; k <= to; k++)
        sum += (kernel[k + reach] as number) * (values[start * line + (i + k) * step] as number);
      result[start * line + i * step] = sum;
    }
  }
  return result;
}
