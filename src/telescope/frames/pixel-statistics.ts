/** What the pixels of a frame say before anyone looks at it: level, noise, how much is bright. */
/** A picture in memory: row by row, the first row at the bottom, as FITS has it. */
export interface PixelImage<Pixels extends ArrayLike<number> = ArrayLike<number>> {
  readonly width: number;
  readonly height: number;
  readonly pixels: Pixels;
}

export interface PixelStatistics {
  readonly medianAdu: number;
  /** Standard deviation of the background, from the median absolute deviation (× 1.4826 for a normal distribution). */
  readonly noiseAdu: number;
  /** Share of pixels more than ten times the noise above the median: stars, discs, nebulae. */
  readonly brightShare: number;
  /** Share of pixels at or above the saturation level. */
  readonly saturatedShare: number;
}

/** Pixels looked at; more change nothing. */
const SAMPLE = 40_000;
/** Whole numbers cannot scatter less than this. */
const LEAST_NOISE_ADU = 0.3;

/** @param saturationAdu where the camera or the 16-bit scale ends */
export function pixelStatistics(image: PixelImage, saturationAdu: number): PixelStatistics {
  const { pixels } = image;
  const sample = sampleOf(pixels).sort();
  const medianAdu = middleOf(sample);
  const deviations = sample.map((value) => Math.abs(value - medianAdu)).sort();
  const noiseAdu = Math.max(LEAST_NOISE_ADU, 1.4826 * middleOf(deviations));
  const threshold = medianAdu + 10 * noiseAdu;
  let bright = 0;
  let saturated = 0;
  for (let index = 0; index < pixels.length; index++) {
    const value = pixels[index] as number;
    if (value > threshold) bright++;
    if (value >= saturationAdu) saturated++;
  }
  return {
    medianAdu,
    noiseAdu,
    brightShare: bright / pixels.length,
    saturatedShare: saturated / pixels.length,
  };
}

/** Middle of sorted values. */
export function middleOf(sorted: Float32Array): number {
  const half = sorted.length >> 1;
  const upper = sorted[half] as number;
  return sorted.length % 2 === 1 ? upper : (upper + (sorted[half - 1] as number)) / 2;
}

/** Every so many values, some tens of thousands in all. */
export function sampleOf(values: ArrayLike<number>): Float32Array {
  // A step prime to usual widths, lest a column be sampled over and over.
  const step = Math.max(1, Math.floor(values.length / SAMPLE)) | 1;
  const sample = new Float32Array(Math.ceil(values.length / step));
  for (let i = 0; i < sample.length; i++) sample[i] = values[i * step] as number;
  return sample;
}
