/**
 * How good the answers were.
 *
 * Scored are the questions that were promised a start tonight and whose request did start, or would have, had it not
 * been withdrawn: there alone stands a start to compare with. Left out, and counted: requests promised a start
 * that never came tonight (their chance of tonight was shown beside the range); requests for which tonight was
 * called unlikely; questions asked while staff held the queue, when no start is promised; and questions whose request was taken in the very instant of asking, where nothing is foretold.
 */
import { MINUTE, type Millis } from "../../base/units.js";
import { HORIZON_NAMES, type HorizonName, horizonOf } from "./horizons.js";
import { BASELINES, type Baseline, type Judged, startOf } from "./question.js";
import { type Reliability, reliabilityOf } from "./reliability.js";
import { type Came, cameOf, type Sharpness, sharpnessOf } from "./sharpness.js";

export interface Counts {
  readonly asked: number;
  readonly scored: number;
  readonly takenAtOnce: number;
  readonly onHold: number;
  /** Promised a start, and withdrawn before it: scored by when it would have come. */
  readonly withdrawn: number;
  /** Promised a start tonight that never came, and the share of such cases that their chances foretold. */
  readonly promisedInVain: number;
  readonly promisedInVainForetold: number;
  /** Tonight was called unlikely: did run, did not run. */
  readonly unlikelyButRan: number;
  readonly unlikelyAndDidNot: number;
}

export interface Score {
  readonly counts: Counts;
  readonly coverage80: number;
  readonly coverage80ByHorizon: Readonly<Record<HorizonName, number>>;
  readonly scoredByHorizon: Readonly<Record<HorizonName, number>>;
  readonly maeMinutes: number;
  /** Mean of forecast less actual: positive when forecasts are too late. */
  readonly biasMinutes: number;
  /** From question to start. */
  readonly meanWaitMinutes: number;
  readonly baselines: Readonly<Record<Baseline, { readonly maeMinutes: number }>>;
  readonly sharpness: Sharpness;
  readonly reliability: Reliability;
}

interface Scored {
  readonly horizon: HorizonName;
  readonly covered: boolean;
  readonly errorMs: Millis;
  readonly waitMs: Millis;
  readonly plainErrorMs: Readonly<Record<Baseline, Millis>>;
}

/** Scores all answers together. Means over nothing are NaN. */
export function scoreOf(judged: readonly Judged[]): Score {
  const came = judged.flatMap((each) => cameOf(each) ?? []);
  const scored = came.map(scoredOne);
  const within = (name: HorizonName): readonly Scored[] => scored.filter(({ horizon }) => horizon === name);
  const byHorizon = <Value>(value: (of: readonly Scored[]) => Value): Record<HorizonName, Value> =>
    Object.fromEntries(HORIZON_NAMES.map((name) => [name, value(within(name))])) as Record<
      HorizonName,
      Value
    >;
  return {
    counts: countsOf(judged, scored.length),
    coverage80: coverageOf(scored),
    coverage80ByHorizon: byHorizon(coverageOf),
    scoredByHorizon: byHorizon((of) => of.length),
    maeMinutes: meanMinutes(scored.map(({ errorMs }) => Math.abs(errorMs))),
    biasMinutes: meanMinutes(scored.map(({ errorMs }) => errorMs)),
    meanWaitMinutes: meanMinutes(scored.map(({ waitMs }) => waitMs)),
    baselines: Object.fromEntries(
      BASELINES.map((name) => [
        name,
        { maeMinutes: meanMinutes(scored.map(({ plainErrorMs }) => Math.abs(plainErrorMs[name]))) },
      ]),
    ) as Record<Baseline, { maeMinutes: number }>,
    sharpness: sharpnessOf(came),
    reliability: reliabilityOf(judged),
  };
}

function scoredOne({ judged, start, actualUnixMs: actual }: Came): Scored {
  const { questionUnixMs, plain } = judged.answer;
  return {
    horizon: horizonOf(start.medianUnixMs - questionUnixMs),
    covered: start.lowUnixMs <= actual && actual <= start.highUnixMs,
    errorMs: start.medianUnixMs - actual,
    waitMs: actual - questionUnixMs,
    plainErrorMs: Object.fromEntries(BASELINES.map((name) => [name, plain[name] - actual])) as Record<
      Baseline,
      Millis
    >,
  };
}

function countsOf(judged: readonly Judged[], scored: number): Counts {
  const some = (suits: (each: Judged) => boolean): readonly Judged[] => judged.filter(suits);
  const unlikely = some(({ answer }) => answer.start === null && !answer.onHold);
  const promised = some(({ answer }) => answer.start !== null);
  const came = (each: Judged): boolean => startOf(each) !== null;
  return {
    asked: judged.length,
    scored,
    takenAtOnce: some((each) => startOf(each) === each.answer.questionUnixMs).length,
    onHold: some(({ answer }) => answer.onHold && answer.start === null).length,
    withdrawn: promised.filter(({ fact }) => fact.came === "withdrawn").length,
    promisedInVain: promised.filter((each) => !came(each)).length,
    promisedInVainForetold: promised.reduce((sum, { answer }) => sum + 1 - answer.chanceTonight, 0),
    unlikelyButRan: unlikely.filter(came).length,
    unlikelyAndDidNot: unlikely.filter((each) => !came(each)).length,
  };
}

function coverageOf(scored: readonly Scored[]): number {
  return scored.filter(({ covered }) => covered).length / scored.length;
}

function meanMinutes(values: readonly Millis[]): number {
  return values.reduce((sum, each) => sum + each, 0) / values.length / MINUTE;
}
