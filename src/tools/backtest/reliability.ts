/** Whether chances come true: of all answers that said about so many per cent, how many requests ran that night. */
import { group, quantileSorted, sum } from "d3-array";
import { randomInt } from "d3-random";
import { seededRandom } from "../../base/random.js";
import { type Judged, startOf } from "./question.js";

/** Bounds of the bins of chances. */
const BOUNDS = [0, 0.05, 0.15, 0.25, 0.35, 0.45, 0.55, 0.65, 0.75, 0.85, 0.95, 1.000001] as const;
/** Smaller bins are shown and not judged. */
const LEAST_ANSWERS = 400;
const LEAST_NIGHTS = 30;
/** Off by less than this is close enough. */
const CLOSE = 0.1;
/** A bin's share is taken of nights drawn anew so often. */
const RESAMPLES = 500;

export interface Bin {
  readonly from: number;
  readonly until: number;
  readonly answers: number;
  readonly nights: number;
  /** Mean chance said, and share that came. */
  readonly said: number;
  readonly came: number;
  /**
   * 95 % interval of that share, whole nights drawn with replacement: a night's answers are one event (B. Efron &
   * R. J. Tibshirani 1993, An Introduction to the Bootstrap, ch. 8).
   */
  readonly low: number;
  readonly high: number;
  /** null where there is too little to judge. */
  readonly kept: boolean | null;
}

export interface Reliability {
  readonly open: readonly Bin[];
  readonly held: readonly Bin[];
}

/** Apart for answers given while some hold stood. */
export function reliabilityOf(judged: readonly Judged[]): Reliability {
  return {
    open: binsOf(judged.filter(({ answer }) => !answer.held)),
    held: binsOf(judged.filter(({ answer }) => answer.held)),
  };
}

function binsOf(judged: readonly Judged[]): Bin[] {
  return BOUNDS.slice(0, -1).flatMap((from, index) => {
    const until = BOUNDS[index + 1] as number;
    const within = judged.filter(
      ({ answer }) => answer.chanceTonight >= from && answer.chanceTonight < until,
    );
    return within.length === 0 ? [] : [binOf(from, until, within)];
  });
}

function binOf(from: number, until: number, judged: readonly Judged[]): Bin {
  const nights = [...group(judged, ({ answer }) => answer.night).values()].map((of) => ({
    answers: of.length,
    came: of.filter((each) => startOf(each) !== null).length,
  }));
  const said = sum(judged, ({ answer }) => answer.chanceTonight) / judged.length;
  const came = sum(nights, (night) => night.came) / judged.length;
  const { uniform } = seededRandom(1);
  const pick = randomInt.source(uniform)(nights.length);
  const shares = Array.from({ length: RESAMPLES }, () => {
    const drawn = nights.map(() => nights[pick()]!);
    return sum(drawn, (night) => night.came) / sum(drawn, (night) => night.answers);
  }).sort((a, b) => a - b);
  const low = quantileSorted(shares, 0.025) as number;
  const high = quantileSorted(shares, 0.975) as number;
  const enough = judged.length >= LEAST_ANSWERS && nights.length >= LEAST_NIGHTS;
  const kept = (low <= said && said <= high) || Math.abs(came - said) <= CLOSE;
  return {
    ...{ from, until: Math.min(1, until), answers: judged.length, nights: nights.length },
    ...{ said, came, low, high, kept: enough ? kept : null },
  };
}
