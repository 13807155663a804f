/** Tonight's queue under each ordering rule, side by side. */
import * as Plot from "@observablehq/plot";
import { chartSvg, INK } from "./chart.js";
import type { Picture } from "./picture.js";
import type { CompareChartInput } from "./pictures.js";
import { rasterise } from "./raster.js";

interface Cell {
  readonly rule: string;
  readonly measure: string;
  /** Share of the largest value under this measure. */
  readonly share: number;
  readonly text: string;
}

/** SVG and alt text of the comparison. */
export function compareChart(input: CompareChartInput): { svg: string; altText: string } {
  const cells = input.rules.flatMap((row) => cellsOf(row, input));
  const svg = chartSvg({
    heading: "Tonight's queue under each ordering rule",
    height: 90 + 62 * input.rules.length,
    marginLeft: 130,
    marginRight: 20,
    marginTop: 34,
    marginBottom: 12,
    x: { domain: [0, 1.62], axis: null },
    fx: {
      axis: "top",
      domain: ["completed", "mean airmass", "worst wait", "moving"],
      label: null,
      padding: 0.06,
    },
    y: { domain: input.rules.map((row) => row.rule), label: null, tickSize: 0, padding: 0.35 },
    marks: [
      Plot.barX(cells, { fx: "measure", y: "rule", x: "share", fill: INK.bar }),
      Plot.text(cells, {
        fx: "measure",
        y: "rule",
        x: "share",
        text: "text",
        textAnchor: "start",
        dx: 5,
        fill: INK.text,
      }),
    ],
  });
  const parts = input.rules.map(
    (row) =>
      `${row.rule}: ${row.requestsCompleted} completed, mean airmass ${row.meanAirmass.toFixed(2)}, worst wait ${Math.round(row.worstWaitMinutes)} min, ${Math.round(row.minutesMoving)} min moving`,
  );
  return { svg, altText: `Bars comparing the ordering rules. ${parts.join(". ")}.` };
}

/** The comparison as a finished picture. */
export async function drawCompare(input: CompareChartInput): Promise<Picture> {
  const { svg, altText } = compareChart(input);
  return { png: await rasterise(svg), altText, fileName: "rules-compared.png" };
}

function cellsOf(row: CompareChartInput["rules"][number], input: CompareChartInput): Cell[] {
  const share = (value: number, of: (each: CompareChartInput["rules"][number]) => number): number =>
    value / Math.max(1e-9, ...input.rules.map(of));
  return [
    {
      rule: row.rule,
      measure: "completed",
      share: share(row.requestsCompleted, (each) => each.requestsCompleted),
      text: String(row.requestsCompleted),
    },
    {
      rule: row.rule,
      measure: "mean airmass",
      share: share(row.meanAirmass, (each) => each.meanAirmass),
      text: row.meanAirmass.toFixed(2),
    },
    {
      rule: row.rule,
      measure: "worst wait",
      share: share(row.worstWaitMinutes, (each) => each.worstWaitMinutes),
      text: `${Math.round(row.worstWaitMinutes)} min`,
    },
    {
      rule: row.rule,
      measure: "moving",
      share: share(row.minutesMoving, (each) => each.minutesMoving),
      text: `${Math.round(row.minutesMoving)} min`,
    },
  ];
}
