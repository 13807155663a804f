/** Tonight's queue under each ordering rule, side by side: two measures abreast, so that a phone shows them in full. */
import * as Plot from "@observablehq/plot";
import type { RuleName } from "../queue/request.js";
import { type Chart, chartSvg, INK } from "./chart.js";

type Row = CompareChartInput["rules"][number];

/** One figure of a rule: what it is called, where it stands, and how it is said. */
interface Measure {
  readonly name: string;
  readonly of: (row: Row) => number;
  readonly digits: number;
  readonly unit: string;
}

interface Cell {
  readonly rule: string;
  readonly inUse: boolean;
  readonly column: number;
  readonly line: number;
  /** Share of the largest value under this measure. */
  readonly share: number;
  readonly text: string;
}

/** In pairs, left and right. */
const MEASURES: readonly Measure[] = [
  { name: "completed", of: (row) => row.requestsCompleted, digits: 0, unit: "" },
  { name: "shared (Gini)", of: (row) => row.turnsGini, digits: 2, unit: "" },
  { name: "mean airmass", of: (row) => row.meanAirmass, digits: 2, unit: "" },
  { name: "worst airmass", of: (row) => row.worstAirmass, digits: 2, unit: "" },
  { name: "median wait", of: (row) => row.medianWaitMinutes, digits: 0, unit: " min" },
  { name: "worst wait", of: (row) => row.worstWaitMinutes, digits: 0, unit: " min" },
  { name: "moving", of: (row) => row.minutesMoving, digits: 0, unit: " min" },
  { name: "exposing", of: (row) => row.minutesExposing, digits: 0, unit: " min" },
];
const COLUMNS = 2;
/** Pixels, such that a phone's width leaves them legible. */
const LETTERS = 26;
const LINE = 43;

export interface CompareChartInput {
  /** One row for each rule; airmass and wait are NaN where nothing is completed. */
  readonly rules: readonly {
    readonly rule: RuleName;
    readonly inUse: boolean;
    readonly requestsCompleted: number;
    /** Gini coefficient of the owners' turns. */
    readonly turnsGini: number;
    readonly meanAirmass: number;
    readonly worstAirmass: number;
    readonly medianWaitMinutes: number;
    readonly worstWaitMinutes: number;
    readonly minutesMoving: number;
    readonly minutesExposing: number;
  }[];
}

/** SVG and alt text of the comparison. */
export function compareChart({ rules }: CompareChartInput): Chart {
  const cells = MEASURES.flatMap((measure, index) => rules.map((row) => cellOf(row, measure, index, rules)));
  const names = MEASURES.map(({ name }, index) => ({ name, ...placeOf(index) }));
  const lines = MEASURES.length / COLUMNS;
  const svg = chartSvg({
    heading: "Tonight's queue under each rule; ▸ is in use",
    fontSize: LETTERS,
    height: 80 + lines * LINE * (rules.length + 1.4),
    marginLeft: 230,
    marginRight: 12,
    marginTop: 12,
    marginBottom: 12,
    x: { domain: [0, 1.9], axis: null },
    fx: { axis: null, padding: 0.04 },
    fy: { axis: null },
    y: {
      domain: ["", ...rules.map((row) => row.rule)],
      label: null,
      tickSize: 0,
      padding: 0.3,
      tickFormat: (rule: string) =>
        rules.some((row) => row.rule === rule && row.inUse) ? `▸ ${rule}` : rule,
    },
    marks: [
      Plot.text(names, {
        fx: "column",
        fy: "line",
        x: 0,
        y: () => "",
        text: "name",
        textAnchor: "start",
        fontWeight: "bold",
        fill: INK.text,
      }),
      Plot.barX(cells, {
        fx: "column",
        fy: "line",
        y: "rule",
        x: "share",
        fill: ({ inUse }: Cell) => (inUse ? INK.own : INK.bar),
      }),
      Plot.text(cells, {
        fx: "column",
        fy: "line",
        y: "rule",
        x: "share",
        text: "text",
        textAnchor: "start",
        dx: 5,
        fill: INK.text,
      }),
    ],
  });
  return {
    svg,
    altText: `Bars comparing the ordering rules. ${rules.map(sentenceOf).join(" ")}`,
    fileName: "rules-compared.png",
  };
}

function cellOf(row: Row, measure: Measure, index: number, rules: readonly Row[]): Cell {
  const value = measure.of(row);
  const largest = Math.max(1e-9, ...rules.map(measure.of).filter(Number.isFinite));
  return {
    rule: row.rule,
    inUse: row.inUse,
    ...placeOf(index),
    share: Number.isFinite(value) ? value / largest : 0,
    text: valueText(measure, row),
  };
}

function placeOf(index: number): { column: number; line: number } {
  return { column: index % COLUMNS, line: Math.floor(index / COLUMNS) };
}

function valueText({ of, digits, unit }: Measure, row: Row): string {
  const value = of(row);
  return Number.isFinite(value) ? `${value.toFixed(digits)}${unit}` : "–";
}

function sentenceOf(row: Row): string {
  const parts = MEASURES.map((measure) => `${measure.name} ${valueText(measure, row)}`);
  return `${row.rule}${row.inUse ? " (in use)" : ""}: ${parts.join(", ")}.`;
}
