/** From camera counts to shades of grey that a person can see. */
import { middleOf, type PixelImage, sampleOf } from "./pixel-statistics.js";

/** A square part of the frame, shrunk; first row on top. */
export interface View {
  readonly width: number;
  readonly height: number;
  readonly values: Float32Array;
}

/** The middle of a frame, `share` of its width and height, averaged down to `width` pixels across. */
export function shrink(image: PixelImage, share: number, width: number): View {
  const wide = Math.max(2, Math.round(image.width * share));
  const high = Math.max(2, Math.round(image.height * share));
  const left = (image.width - wide) / 2;
  const bottom = (image.height - high) / 2;
  const height = Math.round((width * high) / wide);
  const values = new Float32Array(width * height);
  for (let y = 0; y < height; y++) {
    const from = Math.floor(bottom + ((height - 1 - y) * high) / height);
    const to = Math.max(from + 1, Math.floor(bottom + ((height - y) * high) / height));
    for (let x = 0; x < width; x++) {
      const first = Math.floor(left + (x * wide) / width);
      const last = Math.max(first + 1, Math.floor(left + ((x + 1) * wide) / width));
      let sum = 0;
      for (let row = from; row < to; row++)
        for (let column = first; column < last; column++)
          sum += image.pixels[row * image.width + column] as number;
      values[y * width + x] = sum / ((to - from) * (last - first));
    }
  }
  return { width, height, values };
}

export interface StretchLimits {
  /** Shown black. */
  readonly black: number;
  /** Shown white. */
  readonly white: number;
  /** Counts over which the scale turns from linear to logarithmic. */
  readonly softening: number;
  /** How many shades of grey are kept: noise packs into a smaller file with fewer, smooth ground needs more. */
  readonly shades: number;
}

/**
 * Limits that show what stands out of the noise; with nothing there, the frame stays dark.
 * @param disc shades in proportion to the light, for a planet or the Moon
 * @param fullAdu the top of the camera's scale: a frame full of light is shown white
 */
export function stretchLimits(view: View, disc: boolean, fullAdu: number): StretchLimits {
  const sorted = sampleOf(view.values).sort();
  const at = (share: number): number => sorted[Math.floor(share * (sorted.length - 1))] as number;
  const middle = at(0.5);
  const noise = Math.max(0.5, noiseOf(view));
  if (disc) {
    const black = Math.min(at(0.02), 0.8 * fullAdu);
    const white = Math.max(at(0.9995), black + 20 * noise);
    return { black, white, softening: (white - black) / 5, shades: 48 };
  }
  // The sky beside a nebula that fills most of the frame: of noise alone, a tenth lies 1.28 of it below the middle.
  const sky = Math.min(middle, at(0.1) + 1.28 * noise);
  const black = Math.min(sky + 0.7 * noise, 0.8 * fullAdu);
  const white = Math.max(at(0.9985), black + 60 * noise);
  const softening = Math.max(4 * noise, Math.min((white - black) / 25, 20 * noise));
  // A step between two shades is no wider than twice the noise, which blurs it, or smooth light would show as bands.
  const steps = (softening * Math.asinh((white - black) / softening)) / (2 * noise);
  return { black, white, softening, shades: Math.max(16, Math.min(256, Math.ceil(steps))) };
}

/** Scatter from pixel to pixel, blind to anything that is smooth: median difference of neighbours over 0.954. */
function noiseOf({ values, width }: View): number {
  const count = Math.floor((width * Math.floor(values.length / width)) / 17) - 1;
  const differences = new Float32Array(Math.max(1, count));
  for (let i = 0; i < count; i++)
    differences[i] = Math.abs((values[17 * i + 1] as number) - (values[17 * i] as number));
  return middleOf(differences.sort()) / 0.954;
}

/** Inverse hyperbolic sine stretch (Lupton et al. 2004, PASP 116, 133). */
export function stretch(view: View, limits: StretchLimits): Uint8Array {
  const { black, white, softening, shades } = limits;
  const top = Math.asinh((white - black) / softening);
  const grey = new Uint8Array(view.values.length);
  for (let i = 0; i < grey.length; i++) {
    const value = view.values[i] as number;
    const shade = value <= black ? 0 : Math.min(1, Math.asinh((value - black) / softening) / top);
    grey[i] = Math.round((Math.round(shade * (shades - 1)) * 255) / (shades - 1));
  }
  return grey;
}
