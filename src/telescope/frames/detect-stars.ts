/** Finds stars in a frame: peaks that stand out of the local background. */
import { middleOf, type PixelImage } from "./pixel-statistics.js";

export interface DetectedStar {
  /** Centroid; the centre of the first pixel, bottom left, is 0, 0. */
  readonly x: number;
  readonly y: number;
  /** Sum above the background of the nine pixels around the peak, ADU. */
  readonly fluxAdu: number;
}

/** Side of the squares in which the background is measured, pixels. */
const MESH = 64;
const SAMPLES_PER_SQUARE = 128;
/** The nine pixels around a peak must sum to this many times their own noise. */
export const SIGNIFICANCE = 5;
/** Noise of that sum in units of one pixel's: nine pixels, and nine times the mean of the eight around. */
export const SUM_SCATTER = Math.sqrt(9 + 81 / 8);
/** A peak of one pixel alone is a hot pixel or a cosmic ray: this many neighbours must stand out too. */
const NEIGHBOURS = 3;
/** Beyond this nobody counts. */
const MOST_STARS = 20_000;
const EDGE = 6;
/** A square that scatters more than its light accounts for by this factor is not sky. */
const STRUCTURE = 4;

export interface BackgroundNoise {
  /** Middle pixel value of the frame. */
  readonly medianAdu: number;
  /** Standard deviation of the background in one pixel. */
  readonly noiseAdu: number;
  readonly gainElectronsPerAdu: number;
}

/**
 * Threshold detection on a background measured square by square (common practice; Bertin & Arnouts 1996,
 * A&AS 117, 393, describe both steps). Squares that are full of something other than stars, such as the
 * Moon's craters, are left out.
 */
export function detectStars(image: PixelImage, noise: BackgroundNoise): DetectedStar[] {
  const peaks: Peak[] = [];
  for (let bottom = 0; bottom < image.height; bottom += MESH) {
    for (let left = 0; left < image.width && peaks.length < MOST_STARS; left += MESH)
      searchSquare(image, left, bottom, noise, peaks);
  }
  const sigma = usualSigma(peaks);
  return peaks.map((peak) => ({ ...centroid(image, peak, sigma), fluxAdu: peak.fluxAdu }));
}

/** A star's brightest pixel. */
interface Peak {
  readonly x: number;
  readonly y: number;
  /** What it stands on, and how far it stands above that, ADU. */
  readonly pedestal: number;
  readonly height: number;
  readonly fluxAdu: number;
}

/** Standard deviation of the brighter stars' images, pixels: of Gaussians whose nine middle pixels sum to what was measured. */
function usualSigma(peaks: readonly Peak[]): number {
  const brightest = [...peaks]
    .sort((a, b) => b.fluxAdu - a.fluxAdu)
    .slice(0, Math.max(10, peaks.length >> 2));
  const shares = Float32Array.from(brightest, ({ height, fluxAdu }) => height / fluxAdu).sort();
  if (shares.length === 0) return NARROWEST;
  // Nine pixels of a Gaussian: peak × (1 + 2q)², where q = exp(−1 / 2σ²) is a neighbour's share of the peak.
  const neighbour = (Math.sqrt(1 / middleOf(shares)) - 1) / 2;
  const sigma = neighbour <= 0 ? 0 : neighbour >= 1 ? WIDEST : 1 / Math.sqrt(-2 * Math.log(neighbour));
  return Math.max(NARROWEST, Math.min(WIDEST, sigma));
}

function searchSquare(
  image: PixelImage,
  left: number,
  bottom: number,
  noise: BackgroundNoise,
  peaks: Peak[],
): void {
  const { width, height, pixels } = image;
  const { level, scatter } = squareBackground(image, left, bottom);
  if (scatter > STRUCTURE * noise.noiseAdu && scatter > STRUCTURE * photonScatter(level, noise)) return;
  const threshold = level + 2.5 * noise.noiseAdu;
  const right = Math.min(left + MESH, width - EDGE);
  const top = Math.min(bottom + MESH, height - EDGE);
  for (let y = Math.max(EDGE, bottom); y < top; y++) {
    for (let x = Math.max(EDGE, left); x < right; x++) {
      const at = y * width + x;
      if ((pixels[at] as number) < threshold || !isPeak(pixels, at, width)) continue;
      const peak = measure(pixels, x, y, width, noise);
      if (peak) peaks.push(peak);
    }
  }
}

/** Noise at a level above the frame's own background. */
function photonScatter(level: number, noise: BackgroundNoise): number {
  const photons = Math.max(0, level - noise.medianAdu) / noise.gainElectronsPerAdu;
  return Math.sqrt(noise.noiseAdu ** 2 + photons);
}

/** Higher than all around within two pixels; on a plateau, the first pixel counts. */
function isPeak(pixels: ArrayLike<number>, at: number, width: number): boolean {
  const value = pixels[at] as number;
  for (let dy = -2; dy <= 2; dy++) {
    for (let dx = -2; dx <= 2; dx++) {
      const other = pixels[at + dy * width + dx] as number;
      const before = dy < 0 || (dy === 0 && dx < 0);
      if (before ? other >= value : other > value) return false;
    }
  }
  return true;
}

function measure(
  pixels: ArrayLike<number>,
  x: number,
  y: number,
  width: number,
  noise: BackgroundNoise,
): Peak | null {
  const { pedestal, range } = surroundings(pixels, x, y, width);
  // Bright light has photon noise of its own: a ripple on a galaxy is no star.
  const scatter = photonScatter(pedestal, noise);
  let sum = 0;
  let neighbours = 0;
  for (let dy = -1; dy <= 1; dy++) {
    for (let dx = -1; dx <= 1; dx++) {
      const above = (pixels[(y + dy) * width + x + dx] as number) - pedestal;
      sum += above;
      if (above > 1.5 * scatter && (dx !== 0 || dy !== 0)) neighbours++;
    }
  }
  if (sum < SIGNIFICANCE * SUM_SCATTER * scatter || neighbours < NEIGHBOURS) return null;
  // The rim of a crater or a knot in a nebula goes on beside the peak; a star's surroundings are even.
  if (sum / 9 < 2 * range - 6 * scatter) return null;
  const height = (pixels[y * width + x] as number) - pedestal;
  return { x, y, pedestal, height, fluxAdu: sum };
}

const RING: readonly (readonly [number, number])[] = [
  [5, 0],
  [4, 4],
  [0, 5],
  [-4, 4],
  [-5, 0],
  [-4, -4],
  [0, -5],
  [4, -4],
];

/** What a star stands on: the mean of the middle four of eight pixels around it, and how far the eight spread. */
function surroundings(
  pixels: ArrayLike<number>,
  x: number,
  y: number,
  width: number,
): { pedestal: number; range: number } {
  const around = Float32Array.from(RING, ([dx, dy]) => pixels[(y + dy) * width + x + dx] as number).sort();
  const pedestal = around.subarray(2, 6).reduce((total, value) => total + value, 0) / 4;
  return { pedestal, range: (around[6] as number) - (around[1] as number) };
}

const CENTROID_STEPS = 4;
/** Pixels. */
const CENTROID_REACH = 5;
/** Standard deviations of the weights, pixels. */
const NARROWEST = 1;
const WIDEST = 2.5;

/**
 * Centre of gravity of the light, weighted by a Gaussian of the stars' width that moves along with it, so that faint
 * ones are not drawn aside by noise at the rim (common practice, no source).
 */
function centroid(
  { pixels, width }: PixelImage,
  { x, y, pedestal }: Peak,
  sigma: number,
): { x: number; y: number } {
  let [offX, offY] = [0, 0];
  for (let step = 0; step < CENTROID_STEPS; step++) {
    let [sum, alongX, alongY] = [0, 0, 0];
    for (let dy = -CENTROID_REACH; dy <= CENTROID_REACH; dy++) {
      for (let dx = -CENTROID_REACH; dx <= CENTROID_REACH; dx++) {
        const weight = Math.exp(-((dx - offX) ** 2 + (dy - offY) ** 2) / (2 * sigma ** 2));
        const light = weight * ((pixels[(y + dy) * width + x + dx] as number) - pedestal);
        sum += light;
        alongX += light * (dx - offX);
        alongY += light * (dy - offY);
      }
    }
    if (!(sum > 0)) break;
    // Twice, because the window holds the light back by half where both are about as wide.
    offX = within(offX + (2 * alongX) / sum);
    offY = within(offY + (2 * alongY) / sum);
  }
  return { x: x + offX, y: y + offY };
}

/** A peak's centre lies in the pixels beside it. */
function within(offset: number): number {
  return Math.max(-1.5, Math.min(1.5, offset));
}

/** The background around a pixel, from the square of the mesh that it lies in. */
export function localLevels(image: PixelImage): (x: number, y: number) => number {
  const across = Math.ceil(image.width / MESH);
  const levels = Float32Array.from({ length: across * Math.ceil(image.height / MESH) }, (_, square) => {
    const [left, bottom] = [(square % across) * MESH, Math.floor(square / across) * MESH];
    return squareBackground(image, left, bottom).level;
  });
  return (x, y) => levels[Math.floor(y / MESH) * across + Math.floor(x / MESH)] as number;
}

/** Median of a square of the mesh, and its scatter from the median absolute deviation, from a sample. */
function squareBackground(
  { width, height, pixels }: PixelImage,
  left: number,
  bottom: number,
): { level: number; scatter: number } {
  const wide = Math.min(MESH, width - left);
  const high = Math.min(MESH, height - bottom);
  const count = Math.min(SAMPLES_PER_SQUARE, wide * high);
  const step = (wide * high) / count;
  const sample = new Float32Array(count);
  for (let i = 0; i < count; i++) {
    const at = Math.floor(i * step);
    sample[i] = pixels[(bottom + Math.floor(at / wide)) * width + left + (at % wide)] as number;
  }
  const level = middleOf(sample.sort());
  const scatter = 1.4826 * middleOf(sample.map((value) => Math.abs(value - level)).sort());
  return { level, scatter };
}
