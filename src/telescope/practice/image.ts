/** The light on the camera before it is counted, and how a star spreads over it. */
import type { PixelPlace } from "../frames/world-coordinates.js";

/** Expected electrons in each pixel, row by row from the bottom. */
export interface Light {
  readonly width: number;
  readonly height: number;
  readonly electrons: Float32Array;
}

/**
 * A frame with the same light everywhere.
 * @param into what may be written over, taken where it has the right length
 */
export function evenLight(
  width: number,
  height: number,
  electrons: number,
  into: Float32Array | null = null,
): Light {
  const pixels = into?.length === width * height ? into : new Float32Array(width * height);
  return { width, height, electrons: pixels.fill(electrons) };
}

/** Fainter than this in a pixel, electrons, a star's wing is left out. */
const FAINTEST_WING = 0.1;
/** Furthest that a bright star's wing is drawn, pixels. */
const WIDEST_WING = 600;

/**
 * Adds a star as a Moffat profile with β = 3 (Moffat 1969, A&A 3, 455), sampled at the pixels' centres.
 * @param electrons in the whole profile
 * @param fwhmPixels full width at half maximum
 */
export function addStar(light: Light, place: PixelPlace, electrons: number, fwhmPixels: number): void {
  // FWHM = 2 α √(2^(1/β) − 1)
  const alpha = fwhmPixels / (2 * Math.sqrt(2 ** (1 / 3) - 1));
  const peak = (electrons * 2) / (Math.PI * alpha * alpha);
  if (peak < FAINTEST_WING) return;
  const reach = Math.min(WIDEST_WING, alpha * Math.sqrt((peak / FAINTEST_WING) ** (1 / 3) - 1) + 1);
  const perAlpha = 1 / (alpha * alpha);
  forRows(light, place, reach, (row, dy, from, to) => {
    const squareY = dy * dy * perAlpha + 1;
    for (let x = from; x <= to; x++) {
      const dx = x - place.x;
      const falling = 1 / (squareY + dx * dx * perAlpha);
      (light.electrons[row + x] as number) += peak * falling * falling * falling;
    }
  });
}

/** Above this many pixels across, a smooth surface is worked out on a coarser grid. */
const COARSE_ABOVE = 120;

/**
 * Adds a smooth surface around a place, as far as `reach` pixels each way.
 * @param brightness electrons per pixel at an offset in pixels (x to the right, y up)
 */
export function addSurface(
  light: Light,
  place: PixelPlace,
  reach: number,
  brightness: (dx: number, dy: number) => number,
): void {
  const step = reach * 2 > COARSE_ABOVE * 4 ? 4 : reach * 2 > COARSE_ABOVE ? 2 : 1;
  const left = Math.max(0, Math.floor(place.x - reach));
  const right = Math.min(light.width - 1, Math.ceil(place.x + reach));
  const columns = Math.max(0, Math.floor((right - left) / step) + 2);
  let lower = new Float32Array(columns);
  let upper = new Float32Array(columns);
  let upperRow = Number.NaN;
  const fill = (values: Float32Array, y: number): void => {
    for (let i = 0; i < columns; i++) values[i] = brightness(left + i * step - place.x, y - place.y);
  };
  forRows(light, place, reach, (row, dy) => {
    const y = Math.round(dy + place.y);
    const base = y - (((y % step) + step) % step);
    if (base + step !== upperRow) {
      if (base === upperRow) [lower, upper] = [upper, lower];
      else fill(lower, base);
      fill(upper, base + step);
      upperRow = base + step;
    }
    const share = (y - base) / step;
    for (let x = left; x <= right; x++) {
      const i = Math.floor((x - left) / step);
      const part = (x - left) / step - i;
      const low = (lower[i] as number) * (1 - part) + (lower[i + 1] as number) * part;
      const high = (upper[i] as number) * (1 - part) + (upper[i + 1] as number) * part;
      (light.electrons[row + x] as number) += low * (1 - share) + high * share;
    }
  });
}

/** Visits the rows of a square around a place, clipped to the frame: row's first index, dy, first and last x. */
function forRows(
  light: Light,
  place: PixelPlace,
  reach: number,
  visit: (row: number, dy: number, from: number, to: number) => void,
): void {
  const from = Math.max(0, Math.ceil(place.x - reach));
  const to = Math.min(light.width - 1, Math.floor(place.x + reach));
  if (from > to) return;
  const bottom = Math.max(0, Math.ceil(place.y - reach));
  const top = Math.min(light.height - 1, Math.floor(place.y + reach));
  for (let y = bottom; y <= top; y++) visit(y * light.width, y - place.y, from, to);
}
