/** The result as a table for a terminal, each figure beside its limit. */

import { type Bounds, type Goals, goalsFor, isWithin, OF_BEST_BASELINE, OF_MEAN_WAIT } from "./goals.js";
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

const PLAIN_NAMES = {
  queueLengthTimesMeanService: "queue length × mean service",
  lastServedWait: "last served's wait",
  headOfLineWait: "head of the line's wait",
} as const;

/** One line for each figure, then what was left out of the score. */
export function tableOf(result: Result, truth = "default"): string {
  const goals = goalsFor(truth);
  const rows = [
    ...rangeRows(result, goals),
    ...sharpnessRows(result, goals),
    ...firstNightRows(result, goals),
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

function rangeRows(result: Result, { coverage, eachHorizon }: Goals): Row[] {
  const within = (value: number, { least, most }: Bounds): Pick<Row, "measured" | "limit" | "kept"> => ({
    measured: percent(value),
    limit: `${percent(least, 0)} to ${percent(most, 0)}`,
    kept: Number.isNaN(value) ? null : value >= least && value <= most,
  });
  return [
    plainRow("nights", String(result.nights)),
    plainRow("requests", String(result.requests)),
    plainRow("questions scored", String(result.counts.scored)),
    { what: "80 % range holds the start", ...within(result.coverage80, coverage) },
    ...HORIZON_NAMES.map((name) => ({
      what: `  ${name} minutes ahead (${result.scoredByHorizon[name]})`,
      ...within(result.coverage80ByHorizon[name], eachHorizon),
    })),
  ];
}

/** Interval scores over those of others on the same answers. */
function sharpnessRows({ sharpness, counts }: Result, goals: Goals): Row[] {
  if (counts.scored === 0) return [];
  const { oracle, playedOn, usual } = sharpness;
  const ratio = (what: string, value: number, most: number): Row => ({
    what,
    measured: ratioText(value),
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
      ratio(`  over the oracle's (${oracle.answers} answers)`, oracle.ratio, goals.overOracle),
      ratio(`  … median of ${oracle.nights} nights`, oracle.nightlyRatio, goals.overOracleNightly),
      plainRow("  … the oracle's own coverage", percent(oracle.otherCoverage)),
    );
  if (playedOn.answers > 0)
    rows.push(
      plainRow(`  over the truth's, played on (${playedOn.answers} answers)`, playedOn.ratio.toFixed(2)),
      plainRow("  … whose coverage is", percent(playedOn.otherCoverage)),
    );
  for (const name of HORIZON_NAMES)
    if (usual[name].answers > 0)
      rows.push(
        ratio(`  over that of usual errors, ${name} minutes ahead`, usual[name].ratio, goals.overUsual),
      );
  return rows;
}

function firstNightRows({ firstNights }: Result, goals: Goals): Row[] {
  const { sites, coverage80, counts } = firstNights;
  if (counts.scored === 0) return [];
  const { least, most } = goals.firstNights;
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

/** One line for each truth; a figure outside its goal has a star. */
export function tableOfAll(named: readonly { readonly name: string; readonly result: Result }[]): string {
  const cells = named.map(({ name, result }) => [name, ...figuresOf(result, goalsFor(name))]);
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

function figuresOf(result: Result, goals: Goals): string[] {
  const { sharpness, reliability, firstNights, maeMinutes, biasMinutes } = result;
  const bins = [...reliability.open, ...reliability.held].filter(({ kept }) => kept !== null);
  const best = Math.min(...BASELINES.map((each) => result.baselines[each].maeMinutes)) * OF_BEST_BASELINE;
  const lean = result.meanWaitMinutes * OF_MEAN_WAIT;
  const usual = HORIZON_NAMES.map((each) => sharpness.usual[each].ratio).filter(
    (each) => !Number.isNaN(each),
  );
  const widest = Math.max(...usual);
  const { ratio, nightlyRatio } = sharpness.oracle;
  const starred = (text: string, kept: boolean): string => (kept ? `${text} ` : `${text}*`);
  return [
    starred(percent(result.coverage80), isWithin(result.coverage80, goals.coverage)),
    starred(ratioText(ratio), !(ratio > goals.overOracle)),
    starred(ratioText(nightlyRatio), !(nightlyRatio > goals.overOracleNightly)),
    starred(usual.length === 0 ? NONE : widest.toFixed(2), !(widest > goals.overUsual)),
    starred(percent(firstNights.coverage80), isWithin(firstNights.coverage80, goals.firstNights)),
    starred(`${maeMinutes.toFixed(1)} of ${best.toFixed(1)}`, maeMinutes <= best),
    starred(`${biasMinutes.toFixed(1)} of ±${lean.toFixed(1)}`, Math.abs(biasMinutes) <= lean),
    starred(
      `${bins.filter(({ kept }) => kept).length} of ${bins.length}`,
      bins.every(({ kept }) => kept),
    ),
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

function ratioText(value: number): string {
  return Number.isNaN(value) ? NONE : value.toFixed(2);
}

function minutes(value: number): string {
  return Number.isNaN(value) ? NONE : `${value.toFixed(1)} min`;
}
