/** The result as a table for a terminal, each figure beside its limit. */

import { BASELINES } from "./question.js";
import type { Result } from "./result.js";
import { HORIZON_NAMES } from "./score.js";

interface Row {
  readonly what: string;
  readonly measured: string;
  readonly limit: string;
  /** null where there is no limit. */
  readonly kept: boolean | null;
}

/** Coverage of an 80 % range: overall, and at each horizon. */
const OVERALL = { least: 0.76, most: 0.84 };
const EACH_HORIZON = { least: 0.72, most: 0.88 };
/** Mean absolute error against the best plain predictor's; bias against the mean wait. */
const OF_BEST_BASELINE = 0.5;
const OF_MEAN_WAIT = 0.1;

const PLAIN_NAMES = {
  queueLengthTimesMeanService: "queue length × mean service",
  lastServedWait: "last served's wait",
  headOfLineWait: "head of the line's wait",
} as const;

/** One line for each figure, then what was left out of the score. */
export function tableOf(result: Result): string {
  const rows = [...rangeRows(result), ...errorRows(result), ...ruleRows(result)];
  const width = (cell: (row: Row) => string): number => Math.max(...rows.map((row) => cell(row).length));
  const [whatWidth, measuredWidth, limitWidth] = [
    width((r) => r.what),
    width((r) => r.measured),
    width((r) => r.limit),
  ];
  const lines = rows.map(({ what, measured, limit, kept }) =>
    `${what.padEnd(whatWidth)}  ${measured.padStart(measuredWidth)}  ${limit.padEnd(limitWidth)}  ${kept === null ? "" : kept ? "ok" : "MISSED"}`.trimEnd(),
  );
  return `${lines.join("\n")}\n\n${leftOut(result)}\n`;
}

function rangeRows(result: Result): Row[] {
  const within = (
    value: number,
    { least, most }: typeof OVERALL,
  ): Pick<Row, "measured" | "limit" | "kept"> => ({
    measured: percent(value),
    limit: `${percent(least, 0)} to ${percent(most, 0)}`,
    kept: Number.isNaN(value) ? null : value >= least && value <= most,
  });
  return [
    plainRow("nights", String(result.nights)),
    plainRow("requests", String(result.requests)),
    plainRow("questions scored", String(result.counts.scored)),
    { what: "80 % range holds the start", ...within(result.coverage80, OVERALL) },
    ...HORIZON_NAMES.map((name) => ({
      what: `  ${name} minutes ahead (${result.scoredByHorizon[name]})`,
      ...within(result.coverage80ByHorizon[name], EACH_HORIZON),
    })),
  ];
}

function errorRows(result: Result): Row[] {
  const any = result.counts.scored > 0;
  const best = Math.min(...BASELINES.map((name) => result.baselines[name].maeMinutes));
  return [
    {
      what: "mean absolute error",
      measured: minutes(result.maeMinutes),
      limit: `at most ${minutes(best * OF_BEST_BASELINE)}`,
      kept: any ? result.maeMinutes <= best * OF_BEST_BASELINE : null,
    },
    ...BASELINES.map((name) =>
      plainRow(`  ${PLAIN_NAMES[name]}`, minutes(result.baselines[name].maeMinutes)),
    ),
    plainRow("mean wait", minutes(result.meanWaitMinutes)),
    {
      what: "bias (forecast less actual)",
      measured: minutes(result.biasMinutes),
      limit: `within ±${minutes(result.meanWaitMinutes * OF_MEAN_WAIT)}`,
      kept: any ? Math.abs(result.biasMinutes) <= result.meanWaitMinutes * OF_MEAN_WAIT : null,
    },
  ];
}

function ruleRows({ planned, highestFirst }: Result): Row[] {
  if (planned.fullNights === 0) return [];
  return [
    {
      what: `planned: completed in ${planned.fullNights} full nights`,
      measured: String(planned.completed),
      limit: `more than ${highestFirst.completed} (highest-first)`,
      kept: planned.completed > highestFirst.completed,
    },
    {
      what: "  mean airmass",
      measured: planned.meanAirmass.toFixed(3),
      limit: `at most ${highestFirst.meanAirmass.toFixed(3)}`,
      kept: planned.meanAirmass <= highestFirst.meanAirmass,
    },
    plainRow(
      "  staff: completed, mean wait",
      `${planned.staffCompleted}, ${minutes(planned.staffMeanWaitMinutes)}`,
      `highest-first: ${highestFirst.staffCompleted}, ${minutes(highestFirst.staffMeanWaitMinutes)}`,
    ),
  ];
}

function leftOut({ counts }: Result): string {
  return [
    `Not scored, of ${counts.asked} questions: ${counts.withdrawn} withdrawn before they ran, ${counts.takenAtOnce} taken at once,`,
    `${counts.onHold} asked during a hold and told no time,`,
    `${counts.promisedInVain} given a start that never came tonight (their shown chances foretold ${counts.promisedInVainForetold.toFixed(0)}),`,
    `${counts.unlikelyButRan + counts.unlikelyAndDidNot} told that tonight was unlikely (${counts.unlikelyButRan} of them ran after all).`,
  ].join("\n");
}

function plainRow(what: string, measured: string, limit = ""): Row {
  return { what, measured, limit, kept: null };
}

/** A mean over nothing. */
const NONE = "none";

function percent(value: number, digits = 1): string {
  return Number.isNaN(value) ? NONE : `${(value * 100).toFixed(digits)} %`;
}

function minutes(value: number): string {
  return Number.isNaN(value) ? NONE : `${value.toFixed(1)} min`;
}
