/** Means that one absurd value cannot move. */
import { median } from "d3-array";

/** Beyond so many scatters a value does not count at all: 95 % efficient for normal scatter. */
const BIWEIGHT_REACH = 4.685;
const ROUNDS = 4;

/**
 * Tukey's biweight mean, begun at the median (Mosteller & Tukey 1977, Data Analysis and Regression).
 * @param scatter standard deviation of ordinary values, above 0
 */
export function biweightMean(values: readonly number[], scatter: number): number {
  let centre = median(values) ?? Number.NaN;
  for (let round = 0; round < ROUNDS; round++) {
    let sum = 0;
    let weights = 0;
    for (const value of values) {
      const away = (value - centre) / (BIWEIGHT_REACH * scatter);
      if (Math.abs(away) >= 1) continue;
      const weight = (1 - away * away) ** 2;
      sum += weight * (value - centre);
      weights += weight;
    }
    if (weights === 0) return centre;
    centre += sum / weights;
  }
  return centre;
}

/** From a median absolute deviation to a standard deviation of normal scatter. */
const MAD_TO_SD = 1.4826;

/**
 * Scatter as told by the steps from each value to the next, which a lasting change moves only once:
 * their median size over √2, as a standard deviation. 0 for fewer than two values.
 */
export function typicalStep(values: readonly number[]): number {
  if (values.length < 2) return 0;
  const steps = values.slice(1).map((value, index) => Math.abs(value - values[index]!));
  return (MAD_TO_SD * (median(steps) ?? 0)) / Math.SQRT2;
}

/** Median distance from the median, as a standard deviation of normal scatter; NaN for none. */
export function typicalDistance(values: readonly number[]): number {
  const centre = median(values) ?? Number.NaN;
  return MAD_TO_SD * (median(values, (value) => Math.abs(value - centre)) ?? Number.NaN);
}
