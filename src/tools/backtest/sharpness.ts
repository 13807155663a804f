/**
 * How sharp and honest the ranges were: the interval score of a central 80 % range, its width plus 2/α times what it
 * was missed by (T. Gneiting & A. E. Raftery 2007, Journal of the American Statistical Association 102, 359, eq. 43;
 * R. L. Winkler 1972). It is beaten neither by width nor by daring.
 */
import { group, mean, median } from "d3-array";
import { MINUTE, type Millis, type UtcMillis } from "../../base/units.js";
import { HORIZON_NAMES, type HorizonName, horizonOf } from "./horizons.js";
import { type Judged, type Range, startOf } from "./question.js";

/** Share of starts left outside a central 80 % range. */
const ALPHA = 0.2;
/** Nights with fewer questions say little for themselves. */
const LEAST_PER_NIGHT = 20;

/** The interval score, smaller for better. */
export function intervalScore({ lowUnixMs, highUnixMs }: Range, actualUnixMs: UtcMillis): Millis {
  const missedBy = Math.max(0, lowUnixMs - actualUnixMs, actualUnixMs - highUnixMs);
  return highUnixMs - lowUnixMs + (2 / ALPHA) * missedBy;
}

/** Mean scores of two kinds of range on the same answers. */
export interface Against {
  readonly answers: number;
  readonly ownMinutes: number;
  readonly otherMinutes: number;
  readonly ratio: number;
  /** Median over the nights with enough answers, and how many those are. */
  readonly nightlyRatio: number;
  readonly nights: number;
  /** How often the other range held the start. */
  readonly otherCoverage: number;
}

export interface Sharpness {
  readonly intervalMinutes: number;
  readonly widthMinutes: number;
  readonly oracle: Against;
  readonly playedOn: Against;
  readonly usual: Readonly<Record<HorizonName, Against>>;
}

/** An answer that was promised a start and got it. */
export interface Came {
  readonly judged: Judged;
  readonly start: Range;
  readonly actualUnixMs: UtcMillis;
}

/** Of those that can be scored. */
export function sharpnessOf(came: readonly Came[]): Sharpness {
  const horizon = ({ start, judged }: Came): HorizonName =>
    horizonOf(start.medianUnixMs - judged.answer.questionUnixMs);
  return {
    intervalMinutes: minutes(came.map(ownScore)),
    widthMinutes: minutes(came.map(({ start }) => start.highUnixMs - start.lowUnixMs)),
    oracle: against(came, ({ judged }) => judged.oracle ?? null),
    playedOn: against(came, ({ judged }) => judged.playedOn ?? null),
    usual: Object.fromEntries(
      HORIZON_NAMES.map((name) => [
        name,
        against(
          came.filter((each) => horizon(each) === name),
          ({ judged }) => judged.answer.usual,
        ),
      ]),
    ) as Record<HorizonName, Against>,
  };
}

/** null where an answer has no start that came, or nothing was foretold. */
export function cameOf(judged: Judged): Came | null {
  const { start, questionUnixMs } = judged.answer;
  const actualUnixMs = startOf(judged);
  if (start === null || actualUnixMs === null || actualUnixMs === questionUnixMs) return null;
  return { judged, start, actualUnixMs };
}

function against(came: readonly Came[], otherOf: (each: Came) => Range | null): Against {
  const both = came.flatMap((each) => {
    const other = otherOf(each);
    return other === null
      ? []
      : [
          {
            night: each.judged.answer.night,
            own: ownScore(each),
            other: intervalScore(other, each.actualUnixMs),
            held: other.lowUnixMs <= each.actualUnixMs && each.actualUnixMs <= other.highUnixMs,
          },
        ];
  });
  const nights = [...group(both, ({ night }) => night).values()].filter((of) => of.length >= LEAST_PER_NIGHT);
  const ownMinutes = minutes(both.map(({ own }) => own));
  const otherMinutes = minutes(both.map(({ other }) => other));
  return {
    answers: both.length,
    ownMinutes,
    otherMinutes,
    ratio: ownMinutes / otherMinutes,
    nightlyRatio:
      median(nights, (of) => meanOf(of, ({ own }) => own) / meanOf(of, ({ other }) => other)) ?? Number.NaN,
    nights: nights.length,
    otherCoverage: both.filter(({ held }) => held).length / both.length,
  };
}

function ownScore({ start, actualUnixMs }: Came): Millis {
  return intervalScore(start, actualUnixMs);
}

function meanOf<Each>(values: readonly Each[], of: (each: Each) => number): number {
  return mean(values, of) ?? Number.NaN;
}

function minutes(values: readonly Millis[]): number {
  return (mean(values) ?? Number.NaN) / MINUTE;
}
