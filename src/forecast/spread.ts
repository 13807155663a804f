/** When each request may start: the night played many times with seeded chance, summed up by quantiles. */
import type { UtcMillis } from "../base/units.js";
import type { Beliefs } from "./learn/beliefs.js";
import type { NightInput } from "./night-run.js";
import { SpreadNight } from "./spread-night.js";

export interface SpreadOptions {
  /** How often the night is played. */
  readonly runs: number;
  readonly seed: number;
}

/** One request's starts among the runs in which it starts tonight: median and central 80 %. */
export interface StartRange {
  readonly number: number;
  /** null when it starts tonight in none of the runs. */
  readonly medianUnixMs: UtcMillis | null;
  /** 10 % and 90 % of the starts are earlier. */
  readonly lowUnixMs: UtcMillis | null;
  readonly highUnixMs: UtcMillis | null;
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

/** Values per row in a summary. */
const PER_ROW = 4;

/** Median, low, high and chance of rows `from` … `to − 1`, four numbers each; NaN for null. */
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
    summary[place] = quantile(some, 0.5);
    summary[place + 1] = quantile(some, 0.1);
    summary[place + 2] = quantile(some, 0.9);
    summary[place + 3] = count / runs;
  }
  return summary;
}

/** The summary as ranges by request number. */
export function rangesFrom(
  numbers: readonly number[],
  summary: Float64Array,
): ReadonlyMap<number, StartRange> {
  const orNull = (value: number): number | null => (Number.isNaN(value) ? null : Math.round(value));
  return new Map(
    numbers.map((number, row) => {
      const place = row * PER_ROW;
      const range: StartRange = {
        number,
        medianUnixMs: orNull(summary[place]!),
        lowUnixMs: orNull(summary[place + 1]!),
        highUnixMs: orNull(summary[place + 2]!),
        chanceTonight: summary[place + 3]!,
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
