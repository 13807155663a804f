/** The result as a table for a terminal, each figure beside its limit. */

import { HORIZON_NAMES } from "./horizons.js";
import { BASELINES } from "./question.js";
import type { Result } from "./result.js";

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
/** Interval score against the oracle's, all together and by the median night; against a plain empirical range's. */
const OVER_ORACLE = 1.25;
const OVER_ORACLE_NIGHTLY = 1.3;
const OVER_USUAL = 0.85;
const FIRST_NIGHTS = { least: 0.72, most: 0.9 };

const PLAIN_NAMES = {
  queueLengthTimesMeanService: "queue length × mean service",
  lastServedWait: "last served's wait",
  headOfLineWait: "head of the line's wait",
} as const;

/** One line for each figure, then what was left out of the score. */
export function tableOf(result: Result): string {
  const rows = [
    ...rangeRows(result),
    ...sharpnessRows(result),
    ...firstNightRows(result),
    ...errorRows(result),
    ...ruleRows(result),
  ];
  return `${aligned(rows)}\n\n${reliabilityTable(result)}\n${leftOut(result)}\n`;
}

function aligned(rows: readonly Row[]): string {
  const width = (cell: (row: Row) => string): number => Math.max(...rows.map((row) => cell(row).length));
  const [whatWidth, measuredWidth, limitWidth] = [
    width((r) => r.what),
    width((r) => r.measured),
    width((r) => r.limit),
  ];
  return rows
    .map(({ what, measured, limit, kept }) =>
      `${what.padEnd(whatWidth)}  ${measured.padStart(measuredWidth)}  ${limit.padEnd(limitWidth)}  ${kept === null ? "" : kept ? "ok" : "MISSED"}`.trimEnd(),
    )
    .join("\n");
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

/** Interval scores over those of others on the same answers. */
function sharpnessRows({ sharpness, counts }: Result): Row[] {
  if (counts.scored === 0) return [];
  const { oracle, playedOn, usual } = sharpness;
  const ratio = (what: string, value: number, most: number): Row => ({
    what,
    measured: value.toFixed(2),
    limit: `at most ${most.toFixed(2)}`,
    kept: Number.isNaN(value) ? null : value <= most,
  });
  const rows = [
    plainRow(
      "interval score, mean width",
      `${minutes(sharpness.intervalMinutes)}, ${minutes(sharpness.widthMinutes)}`,
    ),
  ];
  if (oracle.answers > 0)
    rows.push(
      ratio(`  over the oracle's (${oracle.answers} answers)`, oracle.ratio, OVER_ORACLE),
      ratio(`  … median of ${oracle.nights} nights`, oracle.nightlyRatio, OVER_ORACLE_NIGHTLY),
      plainRow("  … the oracle's own coverage", percent(oracle.otherCoverage)),
    );
  if (playedOn.answers > 0)
    rows.push(
      plainRow(`  over the truth's, played on (${playedOn.answers} answers)`, playedOn.ratio.toFixed(2)),
      plainRow("  … whose coverage is", percent(playedOn.otherCoverage)),
    );
  for (const name of HORIZON_NAMES)
    if (usual[name].answers > 0)
      rows.push(ratio(`  over that of usual errors, ${name} minutes ahead`, usual[name].ratio, OVER_USUAL));
  return rows;
}

function firstNightRows({ firstNights }: Result): Row[] {
  const { sites, coverage80, counts } = firstNights;
  if (counts.scored === 0) return [];
  const { least, most } = FIRST_NIGHTS;
  return [
    {
      what: `first night of ${sites} new sites (${counts.scored} questions)`,
      measured: percent(coverage80),
      limit: `${percent(least, 0)} to ${percent(most, 0)}`,
      kept: coverage80 >= least && coverage80 <= most,
    },
  ];
}

function reliabilityTable({ reliability }: Result): string {
  const lines = (["open", "held"] as const).flatMap((sky) =>
    reliability[sky].map(
      ({ from, until, answers, nights, said, came, low, high, kept }) =>
        `${sky.padEnd(5)} ${percent(from, 0).padStart(5)} to ${percent(until, 0).padEnd(5)}  ${String(answers).padStart(6)} ${String(nights).padStart(5)}  ${percent(said).padStart(7)} ${percent(came).padStart(7)}  ${percent(low, 0).padStart(5)} to ${percent(high, 0).padEnd(5)}  ${kept === null ? "few" : kept ? "ok" : "MISSED"}`,
    ),
  );
  return ["sky   chance           answers nights    said    came  95 % of nights", ...lines, ""].join("\n");
}

/** One line for each truth. */
export function tableOfAll(named: readonly { readonly name: string; readonly result: Result }[]): string {
  const cells = named.map(({ name, result }) => {
    const { sharpness, reliability, firstNights } = result;
    const bins = [...reliability.open, ...reliability.held].filter(({ kept }) => kept !== null);
    const best = Math.min(...BASELINES.map((each) => result.baselines[each].maeMinutes));
    const widest = Math.max(...HORIZON_NAMES.map((each) => sharpness.usual[each].ratio));
    return [
      name,
      percent(result.coverage80),
      sharpness.oracle.ratio.toFixed(2),
      sharpness.oracle.nightlyRatio.toFixed(2),
      widest.toFixed(2),
      percent(firstNights.coverage80),
      `${result.maeMinutes.toFixed(1)} of ${(best * OF_BEST_BASELINE).toFixed(1)}`,
      `${result.biasMinutes.toFixed(1)} of ±${(result.meanWaitMinutes * OF_MEAN_WAIT).toFixed(1)}`,
      `${bins.filter(({ kept }) => kept).length} of ${bins.length}`,
    ];
  });
  const head = [
    "truth",
    "coverage",
    "÷ oracle",
    "… by night",
    "÷ usual",
    "first night",
    "error, min",
    "bias, min",
    "chances",
  ];
  const widths = head.map((title, column) =>
    Math.max(title.length, ...cells.map((row) => row[column]!.length)),
  );
  const line = (row: readonly string[]): string =>
    row
      .map((cell, column) => (column === 0 ? cell.padEnd(widths[0]!) : cell.padStart(widths[column]!)))
      .join("  ");
  return `${[head, ...cells].map(line).join("\n")}\n`;
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
    `Of those promised a start, ${counts.withdrawn} were withdrawn before it: they are scored by when it would have come.`,
    `Not scored, of ${counts.asked} questions: ${counts.takenAtOnce} taken at once,`,
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
