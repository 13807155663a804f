/** The run order as bars in time. */

import * as Plot from "@observablehq/plot";
import { HOUR, MINUTE, type UtcMillis } from "../base/units.js";
import type { Estimate } from "../estimates/forecast-service.js";
import type { Observatory } from "../observatory/observatory.js";
import type { Request } from "../queue/request.js";
import { apparentAltitude } from "../sky/airmass.js";
import { type Chart, chartSvg, clockText, INK, timeAxis, zoneText } from "./chart.js";

/** A phone shows this many rows legibly. */
const MOST_ROWS = 14;

interface Bar {
  readonly label: string;
  readonly start: number;
  readonly end: number;
  readonly earliest: number;
  readonly latest: number;
  readonly altitude: string;
  readonly own: boolean;
}

export interface QueueChartInput {
  readonly observatory: Observatory;
  readonly nowUnixMs: UtcMillis;
  /** Run order with estimates; `label` is what this reader may see ("#12 M13 · Mira"). */
  readonly rows: readonly {
    readonly request: Request;
    readonly estimate: Estimate;
    readonly label: string;
    readonly own: boolean;
  }[];
}

/** SVG and alt text of the run order; requests without a turn tonight are counted, not drawn. */
export function queueChart(input: QueueChartInput): Chart {
  const zone = input.observatory.site.timeZone;
  const bars = input.rows.flatMap(toBar).slice(0, MOST_ROWS);
  const more = input.rows.length - bars.length;
  const last = Math.max(input.nowUnixMs + HOUR / 2, ...bars.map((bar) => Math.max(bar.end, bar.latest)));
  const span = last - input.nowUnixMs;
  const heading = `Run order from ${clockText(input.nowUnixMs, zone)} ${zoneText(input.nowUnixMs, zone)}${more > 0 ? ` · ${more} more not shown` : ""}`;
  const axis = timeAxis({ openUnixMs: input.nowUnixMs, closeUnixMs: last + span * 0.04 }, zone);
  const svg = chartSvg({
    heading,
    height: 110 + 34 * Math.max(1, bars.length),
    marginLeft: 260,
    marginRight: 70,
    marginBottom: 34,
    marginTop: 6,
    x: axis,
    y: { domain: bars.map((bar) => bar.label), label: null, tickSize: 0, padding: 0.3 },
    marks: [
      Plot.gridX(axis.ticks as number[], { stroke: INK.grid, strokeOpacity: 1 }),
      Plot.ruleY(bars, { x1: "earliest", x2: "latest", y: "label", stroke: INK.range, strokeWidth: 3 }),
      Plot.barX(bars, {
        x1: "start",
        x2: "end",
        y: "label",
        fill: (bar: Bar) => (bar.own ? INK.own : INK.bar),
      }),
      Plot.text(bars, {
        x: (bar: Bar) => Math.max(bar.end, bar.latest),
        y: "label",
        text: "altitude",
        textAnchor: "start",
        dx: 6,
        fill: INK.text,
      }),
    ],
  });
  return { svg, altText: altTextOf(bars, more, zone), fileName: "run-order.png" };
}

function toBar(row: QueueChartInput["rows"][number]): Bar[] {
  const { estimate, label, own } = row;
  if (!estimate.turn || estimate.startUnixMs === null) return [];
  const { turn, startUnixMs } = estimate;
  const lasts = Math.max(turn.times.totalMs, MINUTE / 2);
  const short = label.length > 27 ? `${label.slice(0, 26)}…` : label;
  return [
    {
      label: own ? `▸ ${short}` : short,
      start: startUnixMs,
      end: startUnixMs + lasts,
      earliest: estimate.earliestUnixMs ?? startUnixMs,
      latest: estimate.latestUnixMs ?? startUnixMs,
      altitude: `${Math.round(apparentAltitude(estimate.altitudeDegrees ?? turn.altitudeDegrees))}°`,
      own,
    },
  ];
}

function altTextOf(bars: readonly Bar[], more: number, zone: string): string {
  const first = bars[0];
  if (!first) return "Chart of the run order: nothing has a turn tonight.";
  const listed = bars
    .slice(0, 5)
    .map((bar) => `${bar.label.replace("▸ ", "")} at ${clockText(bar.start, zone)}`);
  const own = bars.filter((bar) => bar.own).length;
  const rest = bars.length - listed.length + more;
  const others = rest > 0 ? `, and ${rest} more` : "";
  const mine = own > 0 ? ` Yours ${own === 1 ? "is" : "are"} marked with a pointer.` : "";
  return `Chart of the run order by start time: ${listed.join("; ")}${others}.${mine}`;
}
