/**
 * Ranges that are right as often as they say: adaptive conformal inference on top of the spread.
 *
 * For each horizon and each end of the range, past forecasts leave a score: how far beyond the median the
 * start came, in units of the spread's own half range. The end is drawn where a share 1 − α of the scores
 * lies within, and after each outcome α moves by γ (target − missed), so that in the long run each end is
 * missed as often as it should be, whatever the night does (Gibbs & Candès 2021, Adaptive Conformal
 * Inference Under Distribution Shift, NeurIPS 34, eq. 2; the scores are of the kind used for conformalised
 * quantiles, Romano, Patterson & Candès 2019, NeurIPS 32).
 */
import { MINUTE, type Millis, type UtcMillis } from "../base/units.js";

/** Upper ends of the horizons, from the forecast to the start it foretells. */
export const HORIZONS: readonly Millis[] = [15 * MINUTE, 60 * MINUTE, Number.POSITIVE_INFINITY];

/** One end of the range at one horizon. */
export interface EndState {
  /** Share of starts to be left beyond this end, as adapted so far. */
  readonly alpha: number;
  /** The newest scores, oldest first. */
  readonly scores: readonly number[];
}
export interface HorizonState {
  readonly early: EndState;
  readonly late: EndState;
}
/** One state per horizon; plain data. */
export type Calibration = readonly HorizonState[];

/** A spread's own range, and what came of it. */
export interface Outcome {
  readonly low: UtcMillis;
  readonly median: UtcMillis;
  readonly high: UtcMillis;
  readonly actual: UtcMillis;
  readonly horizonMs: Millis;
  /**
   * The range as it was given. Whether it was missed is judged by this: by the time of the outcome the
   * ranges may have been adapted to the same night already, and would seem better than they were. Left out:
   * the range as it would be given now.
   */
  readonly given?: { readonly low: UtcMillis; readonly high: UtcMillis };
}

/** Each end of the central 80 % leaves a tenth beyond. */
const TARGET = 0.1;
/**
 * Step of α after each outcome: Gibbs & Candès use 0.005; a class's nights are few, so a larger one. At 0.02 and
 * more, α runs after the luck of single nights, whose outcomes go together, and ranges come out too narrow.
 */
const GAMMA = 0.01;
/** Scores kept at each end of each horizon: those of a dozen nights. */
const KEPT = 300;
/** Times are shown to the minute: no range is narrower, half of it on each side of the median. */
export const LEAST_HALF_RANGE: Millis = MINUTE / 2;
const WIDEST = 12;

/**
 * Twenty scores as if the spread had been right are there from the start: quantiles of the standard normal
 * distribution over its 90 % quantile, so that 1 stands at 90 %.
 */
const IDEAL: readonly number[] = [
  -1.529, -1.123, -0.898, -0.729, -0.589, -0.467, -0.354, -0.249, -0.148, -0.049, 0.049, 0.148, 0.249, 0.354,
  0.467, 0.589, 0.729, 0.898, 1.123, 1.529,
];

/** Nothing observed yet: ranges are left as the spread has them. */
export function freshCalibration(): Calibration {
  const end: EndState = { alpha: TARGET, scores: [] };
  return HORIZONS.map(() => ({ early: end, late: end }));
}

/** The range to show for a spread's range: calibrated, about the same median, never narrower than a minute. */
export function widen(
  low: UtcMillis,
  median: UtcMillis,
  high: UtcMillis,
  horizonMs: Millis,
  calibration: Calibration,
): { readonly low: UtcMillis; readonly high: UtcMillis } {
  const state = calibration[horizonIndex(horizonMs)] as HorizonState;
  const below = Math.max(LEAST_HALF_RANGE, median - low) * reach(state.early);
  const above = Math.max(LEAST_HALF_RANGE, high - median) * reach(state.late);
  return {
    low: median - Math.max(LEAST_HALF_RANGE, below),
    high: median + Math.max(LEAST_HALF_RANGE, above),
  };
}

/** What the outcome of one forecast teaches. */
export function observe(calibration: Calibration, outcome: Outcome): Calibration {
  const { low, median, high, actual, horizonMs, given } = outcome;
  const index = horizonIndex(horizonMs);
  return calibration.map((state, each) =>
    each === index
      ? {
          early: observed(
            state.early,
            (median - actual) / Math.max(LEAST_HALF_RANGE, median - low),
            given && actual < given.low,
          ),
          late: observed(
            state.late,
            (actual - median) / Math.max(LEAST_HALF_RANGE, high - median),
            given && actual > given.high,
          ),
        }
      : state,
  );
}

/** Which horizon a forecast belongs to. */
export function horizonIndex(horizonMs: Millis): number {
  return HORIZONS.findIndex((end) => horizonMs < end);
}

function observed(end: EndState, score: number, wasMissed = score > reach(end)): EndState {
  const missed = wasMissed ? 1 : 0;
  return {
    alpha: Math.max(0, Math.min(0.5, end.alpha + GAMMA * (TARGET - missed))),
    scores: [...end.scores, score].slice(-KEPT),
  };
}

const reaches = new WeakMap<EndState, number>();

/** How many half ranges the end lies from the median; asked for every request, so worked out once. */
function reach(end: EndState): number {
  const known = reaches.get(end);
  if (known !== undefined) return known;
  const found = Math.max(0, Math.min(WIDEST, scoreQuantile(end)));
  reaches.set(end, found);
  return found;
}

/** The 1 − α quantile of the scores, the ideal ones among them (Hazen's plotting position). */
function scoreQuantile({ alpha, scores }: EndState): number {
  if (scores.length === 0) return 1;
  const sorted = [...IDEAL, ...scores].sort((a, b) => a - b);
  const last = sorted.length - 1;
  const at = Math.max(0, Math.min(last, (1 - alpha) * sorted.length - 0.5));
  const below = Math.floor(at);
  return sorted[below]! + (at - below) * (sorted[Math.min(last, below + 1)]! - sorted[below]!);
}
