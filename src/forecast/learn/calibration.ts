/**
 * Ranges that are right as often as they say: which levels of the spread's own quantiles its ends are read at.
 *
 * Each start that came is journalled as its level within the spread (its probability-integral transform: Dawid 1984,
 * JRSS A 147, 278). After each night the ends move to where the levels of past nights have their 10 and 90 % points, so
 * that the shape that was played is kept. A night's starts go together (cloud puts all of them off): each night counts
 * as one, however many its questions. The weights are our own choice.
 */
import { sum } from "d3-array";
import { MINUTE, type Millis, type UtcMillis } from "../../base/units.js";

/** Upper ends of the horizons, from the forecast to the start it foretells. */
export const HORIZONS: readonly Millis[] = [15 * MINUTE, 60 * MINUTE, Number.POSITIVE_INFINITY];

/** Levels of the quantiles that a spread is summed up by, ascending; the middle one is the median. */
export const LEVELS: readonly number[] = [
  0.02, 0.05, 0.1, 0.15, 0.2, 0.25, 0.3, 0.35, 0.4, 0.45, 0.5, 0.55, 0.6, 0.65, 0.7, 0.75, 0.8, 0.85, 0.9,
  0.95, 0.98,
];
const MEDIAN = LEVELS.indexOf(0.5);
const FIRST = LEVELS[0] as number;
/** A range reaches beyond the outermost quantiles by up to this share of their distance from the median. */
const STRETCH = 0.6;

/** Times are shown to the minute: no range is narrower, half of it on each side of the median. */
export const LEAST_HALF_RANGE: Millis = MINUTE / 2;
/** A start this close to a quantile is on it. */
const SAME: Millis = 1_000;

/** One promised start that came: where it stood in its spread, 0 to 1. */
export interface Outcome {
  readonly level: number;
  readonly horizonMs: Millis;
}
/** As journalled before levels were: a spread's 80 % range, and what came. */
export interface RangeOutcome {
  readonly low: UtcMillis;
  readonly median: UtcMillis;
  readonly high: UtcMillis;
  readonly actual: UtcMillis;
  readonly horizonMs: Millis;
}
/** A chance of running tonight as the spread had it, and whether the request ran. */
export interface ChanceOutcome {
  readonly said: number;
  /** Said while a hold stood. */
  readonly held: boolean;
  readonly came: boolean;
}

/** What one night taught. */
export interface NightOutcomes {
  readonly night: string;
  /** Levels of the starts that came, by horizon. */
  readonly levels: readonly (readonly number[])[];
  readonly chances: readonly ChanceOutcome[];
}
/** The newest nights, oldest first; plain data. The last one may still go on. */
export type Calibration = readonly NightOutcomes[];

/** Nothing observed yet. */
export const freshCalibration = (): Calibration => [];

const MOST_NIGHTS = 80;
/** Outcomes of one kind kept of a night: a night counts as one, however many there were. */
const MOST_OF_A_NIGHT = 60;

/** With what one request taught. */
export function observe(
  calibration: Calibration,
  night: string,
  outcomes: readonly (Outcome | RangeOutcome)[],
  chances: readonly ChanceOutcome[],
): Calibration {
  const last = calibration.find((each) => each.night === night) ?? { night, levels: NO_LEVELS, chances: [] };
  const levels = last.levels.map((known, horizon) => {
    const own = outcomes.filter(({ horizonMs }) => horizonIndex(horizonMs) === horizon).map(levelIn);
    return own.reduce(kept<number>, known);
  });
  const now = { night, levels, chances: chances.reduce(kept<ChanceOutcome>, last.chances) };
  const others = calibration.filter((each) => each.night !== night);
  return [...others, now].sort((a, b) => (a.night < b.night ? -1 : 1)).slice(-MOST_NIGHTS);
}

const NO_LEVELS: readonly (readonly number[])[] = HORIZONS.map(() => []);

/** The newest. */
function kept<Value>(known: readonly Value[], value: Value): readonly Value[] {
  return [...known, value].slice(-MOST_OF_A_NIGHT);
}

/** Which horizon a forecast belongs to. */
export function horizonIndex(horizonMs: Millis): number {
  return HORIZONS.findIndex((end) => horizonMs < end);
}

/** Where a start stands among quantiles (at `LEVELS`), 0 to 1; on several equal ones, in their middle. */
export function levelOf(quantiles: ArrayLike<UtcMillis>, unixMs: UtcMillis): number {
  const last = LEVELS.length - 1;
  if (unixMs < quantiles[0]! - SAME) return FIRST * (1 - beyond(quantiles, 0, unixMs));
  if (unixMs > quantiles[last]! + SAME) return 1 - FIRST * (1 - beyond(quantiles, last, unixMs));
  let from = 0;
  while (from < last && quantiles[from]! < unixMs - SAME) from++;
  let until = from;
  while (until < last && quantiles[until + 1]! <= unixMs + SAME) until++;
  if (quantiles[from]! <= unixMs + SAME) return (LEVELS[from]! + LEVELS[until]!) / 2;
  const share = (unixMs - quantiles[from - 1]!) / (quantiles[from]! - quantiles[from - 1]!);
  return LEVELS[from - 1]! + share * (LEVELS[from]! - LEVELS[from - 1]!);
}

/** How far beyond an outermost quantile, as a share of the farthest that a range reaches. */
function beyond(quantiles: ArrayLike<UtcMillis>, end: number, unixMs: UtcMillis): number {
  const reach = STRETCH * Math.max(LEAST_HALF_RANGE, Math.abs(quantiles[end]! - quantiles[MEDIAN]!));
  return Math.min(1, Math.abs(unixMs - quantiles[end]!) / reach);
}

/** The start at a level: the inverse of `levelOf`. */
export function startAt(quantiles: ArrayLike<UtcMillis>, level: number): UtcMillis {
  const last = LEVELS.length - 1;
  const median = quantiles[MEDIAN]!;
  if (level <= FIRST) return quantiles[0]! + STRETCH * (1 - level / FIRST) * (quantiles[0]! - median);
  if (level >= 1 - FIRST)
    return quantiles[last]! + STRETCH * (1 - (1 - level) / FIRST) * (quantiles[last]! - median);
  let at = 1;
  while (LEVELS[at]! < level) at++;
  const share = (level - LEVELS[at - 1]!) / (LEVELS[at]! - LEVELS[at - 1]!);
  return quantiles[at - 1]! + share * (quantiles[at]! - quantiles[at - 1]!);
}

/** Of an old outcome, as if its range were a normal distribution's. */
function levelIn(outcome: Outcome | RangeOutcome): number {
  if ("level" in outcome) return outcome.level;
  const { low, median, high, actual } = outcome;
  const half = Math.max(LEAST_HALF_RANGE, actual < median ? median - low : high - median);
  // The logistic distribution, which is within 0.01 of the normal one with the same 10 and 90 % points.
  return 1 / (1 + Math.exp((-Math.log(9) * (actual - median)) / half));
}

/** At which levels the ends of the central 80 % are read. */
export interface Ends {
  readonly low: number;
  readonly high: number;
}

/** Each night weighs less than the next, fully from so many outcomes on; other horizons count a little too. */
const FADES = 0.97;
const FULL = 6;
const OTHER_HORIZONS = 0.3;
/** What is believed beforehand counts as so many nights: ranges somewhat wider than the spread's, until nights are seen. */
const PRIOR_NIGHTS = 10;
const PRIOR_END = 0.06;
const PRIOR_FADES = 0.8;
const END = 0.1;

const known = new WeakMap<Calibration, Map<string, readonly Ends[]>>();

/**
 * The ends for a forecast at a horizon.
 * @param night the present one, which teaches nothing until it is over
 */
export function endsFor(calibration: Calibration, night: string | null, horizonMs: Millis): Ends {
  const byNight = known.get(calibration) ?? new Map<string, readonly Ends[]>();
  known.set(calibration, byNight);
  const ends =
    byNight.get(night ?? "") ?? HORIZONS.map((_, horizon) => learnEnds(calibration, night, horizon));
  byNight.set(night ?? "", ends);
  return ends[horizonIndex(horizonMs)] as Ends;
}

function learnEnds(calibration: Calibration, night: string | null, horizon: number): Ends {
  const past = calibration.filter((each) => each.night !== night);
  const weighted: { level: number; weight: number }[] = [];
  for (const [index, { levels }] of past.entries())
    for (const [other, own] of levels.entries()) {
      const share = (other === horizon ? 1 : OTHER_HORIZONS) * FADES ** (past.length - 1 - index);
      const weight = (share * Math.min(1, own.length / FULL)) / Math.max(1, own.length);
      for (const level of own) weighted.push({ level, weight });
    }
  const priorEnd = END + (PRIOR_END - END) * PRIOR_FADES ** past.length;
  return {
    low: pointOf(weighted, END, priorEnd),
    high:
      1 -
      pointOf(
        weighted.map(({ level, weight }) => ({ level: 1 - level, weight })),
        END,
        priorEnd,
      ),
  };
}

/**
 * The level below which a share of what was seen and believed lies. What is believed is spread evenly with its own
 * point at `priorEnd`.
 */
function pointOf(
  seen: readonly { readonly level: number; readonly weight: number }[],
  share: number,
  priorEnd: number,
): number {
  const total = PRIOR_NIGHTS + sum(seen, ({ weight }) => weight);
  const below = (level: number): number => {
    const believed =
      level < priorEnd
        ? (share * level) / priorEnd
        : share + ((0.5 - share) * (level - priorEnd)) / (0.5 - priorEnd);
    return PRIOR_NIGHTS * believed + sum(seen, (each) => (each.level <= level ? each.weight : 0));
  };
  let [from, until] = [0, 0.5];
  for (let step = 0; step < BISECTIONS; step++) {
    const middle = (from + until) / 2;
    if (below(middle) >= share * total) until = middle;
    else from = middle;
  }
  return until;
}

/** To a millionth. */
const BISECTIONS = 20;
