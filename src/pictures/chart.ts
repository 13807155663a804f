/** What all charts share: page, colours with enough contrast on dark, time axis in the site's zone. */
import * as Plot from "@observablehq/plot";
import { range } from "d3-array";
import { parseHTML } from "linkedom";
import { DateTime } from "luxon";
import { HOUR, MINUTE, type UtcMillis } from "../base/units.js";
import type { Interval } from "../sky/interval.js";
import { escapeXml } from "./escape-xml.js";
import { FONT } from "./raster.js";

/** A chart as it is before it is made an image. */
export interface Chart {
  readonly svg: string;
  /** What the picture shows, in one or two sentences. */
  readonly altText: string;
  readonly fileName: string;
}

/** Colours on the dark page; each is paired with a shape, a dash or a word wherever it carries meaning. */
export const INK = {
  page: "#15120f",
  text: "#f1e9df",
  faint: "#8d8478",
  grid: "#3a342d",
  bar: "#c9772e",
  own: "#ffd9a0",
  range: "#a79c8e",
  line: "#e8a04c",
  moon: "#b9c4cf",
  limit: "#e2725b",
  window: "#4a3a22",
  day: "#57503f",
  lines: ["#e8a04c", "#9fc5a8", "#d98fa6", "#8fb4d9", "#d9cf8f", "#c3a3e0"],
} as const;

export const WIDTH = 900;

type ChartOptions = Plot.PlotOptions & {
  readonly heading: string;
  /** Pixels. */
  readonly height: number;
  /** Of the letters within the plot, pixels. */
  readonly fontSize?: number;
};

/** SVG text of a plot on the dark page, with a heading above it. */
export function chartSvg({ heading, height, fontSize = 15, ...plot }: ChartOptions): string {
  const { document } = parseHTML("<html><body></body></html>");
  const top = 46;
  const made = Plot.plot({
    ...plot,
    document: document as never,
    width: WIDTH,
    height: height - top,
  });
  made.setAttribute("y", String(top));
  made.setAttribute("font-family", FONT);
  made.setAttribute("font-size", String(fontSize));
  made.removeAttribute("style");
  const inner = made.outerHTML.replace(/<style>[\s\S]*?<\/style>/g, "").replace(/currentColor/g, INK.text);
  return [
    `<svg xmlns="http://www.w3.org/2000/svg" width="${WIDTH}" height="${height}" viewBox="0 0 ${WIDTH} ${height}">`,
    `<rect width="${WIDTH}" height="${height}" fill="${INK.page}"/>`,
    `<text x="18" y="32" font-family="${FONT}" font-size="20" font-weight="bold" fill="${INK.text}">${escapeXml(heading)}</text>`,
    inner,
    "</svg>",
  ].join("\n");
}

/** A time axis with whole hours (or quarters) of the site's zone marked. */
export function timeAxis({ openUnixMs, closeUnixMs }: Interval, timeZone: string): Plot.ScaleOptions {
  const first = DateTime.fromMillis(openUnixMs, { zone: timeZone }).startOf("hour").toMillis();
  const ticks = range(first, closeUnixMs + 1, stepFor(closeUnixMs - openUnixMs));
  return {
    type: "linear",
    domain: [openUnixMs, closeUnixMs],
    ticks: ticks.filter((tick) => tick >= openUnixMs),
    tickFormat: (tick: number) => clockText(tick, timeZone),
    label: null,
  } as Plot.ScaleOptions;
}

/** An altitude axis with headroom for a name above a target at the zenith. */
export const ALTITUDE_TICKS = [0, 15, 30, 45, 60, 75, 90];
export const ALTITUDE_AXIS: Plot.ScaleOptions = {
  domain: [0, 97],
  ticks: ALTITUDE_TICKS,
  tickFormat: (degrees: number) => `${degrees}°`,
  label: null,
} as Plot.ScaleOptions;

/** "21:40" in the zone. */
export function clockText(unixMs: UtcMillis, timeZone: string): string {
  return DateTime.fromMillis(unixMs, { zone: timeZone }).toFormat("HH:mm");
}

/** The zone's name in use at an instant, "CST" or "UTC−6", for a chart's caption. */
export function zoneText(unixMs: UtcMillis, timeZone: string): string {
  return DateTime.fromMillis(unixMs, { zone: timeZone, locale: "en-US" }).offsetNameShort ?? timeZone;
}

function stepFor(span: number): number {
  if (span <= HOUR) return 10 * MINUTE;
  if (span <= 3 * HOUR) return 30 * MINUTE;
  return span <= 9 * HOUR ? HOUR : 2 * HOUR;
}
