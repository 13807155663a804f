/** When each request may start: the night played many times with seeded chance, summed up by quantiles. */
import type { UtcMillis } from "../base/units.js";
import type { Beliefs } from "./learn/beliefs.js";
import { LEVELS } from "./learn/calibration.js";
import type { NightInput } from "./night-run.js";
import { SpreadNight } from "./spread-night.js";

export interface SpreadOptions {
  /** How often the night is played. */
  readonly runs: number;
  readonly seed: number;
}

/** One request's starts among the runs in which it starts tonight. */
export interface StartRange {
  readonly number: number;
  /** null when it starts tonight in none of the runs. */
  readonly medianUnixMs: UtcMillis | null;
  /** 10 % and 90 % of the starts are earlier. */
  readonly lowUnixMs: UtcMillis | null;
  readonly highUnixMs: UtcMillis | null;
  /** At `LEVELS`; null as above. */
  readonly quantiles: ArrayLike<UtcMillis> | null;
  /** Share of the runs in which it starts before the night ends. */
  readonly chanceTonight: number;
}

export interface Spread {
  readonly runs: number;
  /** By request number. */
  readonly ranges: ReadonlyMap<number, StartRange>;
  /** Starts of all runs, unsorted, row by row (`runs` values each); NaN where it does not start tonight. */
  readonly starts: Float64Array;
  /** Which request each row is. */
  readonly numbers: readonly number[];
}

/**
 * Plays the night `runs` times from what is believed. Times of actions come from the beliefs alone:
 * `input.overheads` does not count. The same input, beliefs and seed give the same spread.
 */
export function spreadOf(input: NightInput, beliefs: Beliefs, { runs, seed }: SpreadOptions): Spread {
  const night = new SpreadNight(input, beliefs);
  const { numbers } = night;
  const starts = new Float64Array(numbers.length * runs);
  for (let run = 0; run < runs; run++) night.play(seed, run, starts, runs);
  const sums = summaryOf(starts, runs, 0, numbers.length);
  return { runs, ranges: rangesFrom(numbers, sums), starts, numbers };
}

/** Values per row in a summary: a quantile at each level, then the chance. */
const PER_ROW = LEVELS.length + 1;
const [LOW, MEDIAN, HIGH] = [0.1, 0.5, 0.9].map((level) => LEVELS.indexOf(level)) as [number, number, number];

/** Quantiles and chance of rows `from` … `to − 1`, whole milliseconds; NaN for quantiles of none. */
export function summaryOf(starts: Float64Array, runs: number, from: number, to: number): Float64Array {
  const summary = new Float64Array((to - from) * PER_ROW);
  const sorted = new Float64Array(runs);
  for (let row = from; row < to; row++) {
    let count = 0;
    for (let run = 0; run < runs; run++) {
      const start = starts[row * runs + run]!;
      if (!Number.isNaN(start)) sorted[count++] = start;
    }
    const some = sorted.subarray(0, count).sort();
    const place = (row - from) * PER_ROW;
    for (let level = 0; level < LEVELS.length; level++)
      summary[place + level] = Math.round(quantile(some, LEVELS[level]!));
    summary[place + LEVELS.length] = count / runs;
  }
  return summary;
}

/** The summary as ranges by request number. */
export function rangesFrom(
  numbers: readonly number[],
  summary: Float64Array,
): ReadonlyMap<number, StartRange> {
  return new Map(
    numbers.map((number, row) => {
      const place = row * PER_ROW;
      const never = Number.isNaN(summary[place]!);
      const quantiles = never ? null : summary.subarray(place, place + LEVELS.length);
      const range: StartRange = {
        number,
        medianUnixMs: quantiles === null ? null : quantiles[MEDIAN]!,
        lowUnixMs: quantiles === null ? null : quantiles[LOW]!,
        highUnixMs: quantiles === null ? null : quantiles[HIGH]!,
        quantiles,
        chanceTonight: summary[place + LEVELS.length]!,
      };
      return [number, range];
    }),
  );
}

/** Linear between the order statistics (Hyndman & Fan 1996, The American Statistician 50, 361, definition 7). */
function quantile(sorted: Float64Array, share: number): number {
  if (sorted.length === 0) return Number.NaN;
  const at = share * (sorted.length - 1);
  const below = Math.floor(at);
  const above = Math.min(sorted.length - 1, below + 1);
  return sorted[below]! + (at - below) * (sorted[above]! - sorted[below]!);
}
