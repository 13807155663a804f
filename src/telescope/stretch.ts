/** From camera counts to shades of grey that a person can see. */
import type { PixelImage } from "./fits.js";

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
}

/** Limits that show what stands out of the noise; with nothing there, the frame stays dark. */
export function stretchLimits(view: View, disc: boolean): StretchLimits {
  const sorted = Float32Array.from(view.values).sort();
  const at = (share: number): number => sorted[Math.floor(share * (sorted.length - 1))] as number;
  const middle = at(0.5);
  const noise = Math.max(0.5, middle - at(0.16));
  if (disc) {
    const black = at(0.02);
    const white = Math.max(at(0.9995), black + 20);
    return { black, white, softening: (white - black) / 5 };
  }
  const white = Math.max(at(0.9985), middle + 60 * noise);
  return { black: middle + 0.6 * noise, white, softening: Math.max(4 * noise, (white - middle) / 25) };
}

/** Shades of grey kept: fewer pack into a smaller file, and the eye asks for no more. */
const SHADES = 32;

/** Inverse hyperbolic sine stretch (Lupton et al. 2004, PASP 116, 133). */
export function stretch(view: View, limits: StretchLimits): Uint8Array {
  const { black, white, softening } = limits;
  const top = Math.asinh((white - black) / softening);
  return Uint8Array.from(view.values, (value) => {
    const shade = Math.asinh((value - black) / softening) / top;
    return Math.round((Math.round(Math.max(0, Math.min(1, shade)) * (SHADES - 1)) * 255) / (SHADES - 1));
  });
}
