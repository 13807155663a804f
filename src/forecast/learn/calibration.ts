/**
 * Ranges that are right as often as they say: adaptive conformal inference on top of the spread.
 *
 * For each horizon and each end of the range, past forecasts leave a score: how far beyond the median the
 * start came, in units of the spread's own half range. The end is drawn where a share 1 − α of the scores
 * lies within, and after each outcome α moves by γ (target − missed), so that each end comes to be missed as
 * often as it should be, also where nights change (Gibbs & Candès 2021, Adaptive Conformal Inference Under
 * Distribution Shift, NeurIPS 34, eq. 2; the scores are of the kind used for conformalised quantiles, Romano,
 * Patterson & Candès 2019, NeurIPS 32). Their bound, which holds for any sequence, is given up in part: α stays
 * within 0 and ½, and a range within twelve times the spread's, where theirs may become everything.
 */
import { quantileSorted } from "d3-array";
import { MINUTE, type Millis, type UtcMillis } from "../../base/units.js";

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
  const reach = reachOf(state);
  const below = Math.max(LEAST_HALF_RANGE, median - low) * reach.early;
  const above = Math.max(LEAST_HALF_RANGE, high - median) * reach.late;
  return {
    low: median - Math.max(LEAST_HALF_RANGE, below),
    high: median + Math.max(LEAST_HALF_RANGE, above),
  };
}

/** What the outcome of one forecast teaches. */
export function observe(calibration: Calibration, outcome: Outcome): Calibration {
  const { low, median, high, actual, horizonMs, given } = outcome;
  const index = horizonIndex(horizonMs);
  return calibration.map((state, each) => {
    if (each !== index) return state;
    const early = scoreOf(median - actual, median - low);
    const late = scoreOf(actual - median, high - median);
    const reach = reachOf(state);
    const missedEarly = given ? actual < given.low : early > reach.early;
    const missedLate = given ? actual > given.high : late > reach.late;
    return {
      early: observed(state.early, early, missedEarly, TARGET),
      late: observed(state.late, late, missedLate, TARGET + spareOf(state)),
    };
  });
}

/** Which horizon a forecast belongs to. */
export function horizonIndex(horizonMs: Millis): number {
  return HORIZONS.findIndex((end) => horizonMs < end);
}

/** Beyond the median, in half ranges of the spread; not above 0 within the half range that is always given. */
function scoreOf(beyondMs: Millis, halfRangeMs: Millis): number {
  const score = beyondMs / Math.max(LEAST_HALF_RANGE, halfRangeMs);
  return beyondMs <= LEAST_HALF_RANGE ? Math.min(0, score) : score;
}

/**
 * Where a start can hardly come before the median (it is next, and the telescope will be free no sooner), the
 * early end cannot be missed as often as a tenth; what it does not use of its share is the late end's.
 */
function spareOf({ early }: HorizonState): number {
  const possible = early.scores.filter((score) => score > 0).length + IDEAL.length / 2;
  return Math.max(0, TARGET - possible / (early.scores.length + IDEAL.length));
}

function observed({ alpha, scores }: EndState, score: number, missed: boolean, target: number): EndState {
  return {
    alpha: Math.max(0, Math.min(0.5, alpha + GAMMA * (target - (missed ? 1 : 0)))),
    scores: [...scores, score].slice(-KEPT),
  };
}

interface Reach {
  readonly early: number;
  readonly late: number;
}
const reaches = new WeakMap<HorizonState, Reach>();

/** How many half ranges the ends lie from the median; asked for every request, so worked out once. */
function reachOf(state: HorizonState): Reach {
  const known = reaches.get(state);
  if (known !== undefined) return known;
  const within = (value: number): number => Math.max(0, Math.min(WIDEST, value));
  const found = {
    early: within(scoreQuantile(state.early, state.early.alpha)),
    late: within(scoreQuantile(state.late, state.late.alpha + spareOf(state))),
  };
  reaches.set(state, found);
  return found;
}

/** The 1 − `beyond` quantile of the scores, the ideal ones among them (Hazen's plotting position). */
function scoreQuantile({ scores }: EndState, beyond: number): number {
  if (scores.length === 0) return 1;
  const sorted = [...IDEAL, ...scores].sort((a, b) => a - b);
  const at = (1 - beyond) * sorted.length - 0.5;
  return quantileSorted(sorted, at / (sorted.length - 1)) as number;
}
