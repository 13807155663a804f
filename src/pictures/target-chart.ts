/** One target's night: altitude curve, window, limits, Moon. */
import * as Plot from "@observablehq/plot";
import { altitudeChart, curveMarks, highest, MOON, nowMarks, shading } from "./altitude-frame.js";
import { type AltitudePoint, altitudeCurve, drawnSpan, type Span, shortName } from "./altitudes.js";
import { clockText, INK, zoneText } from "./chart.js";
import type { Picture } from "./picture.js";
import type { TargetChartInput } from "./pictures.js";
import { rasterise } from "./raster.js";

/** SVG and alt text of a target's night. */
export function targetChart(input: TargetChartInput): { svg: string; altText: string } {
  const { observatory, night, target, nowUnixMs } = input;
  const { site, limits } = observatory;
  const span = drawnSpan(night, site);
  const curve = altitudeCurve(target, night, span, site);
  const moon = target.id === "moon" ? [] : altitudeCurve(MOON, night, span, site);
  const windows = input.windows.flatMap((window) => clipped(window.openUnixMs, window.closeUnixMs, span));
  const svg = altitudeChart(
    `${target.name} · night of ${night.date} · ${zoneText(nowUnixMs, site.timeZone)}`,
    span,
    site.timeZone,
    [
      ...shading(span, site, limits.sunAltitudeDegrees),
      Plot.rect(windows, { x1: "startUnixMs", x2: "endUnixMs", y1: 0, y2: 97, fill: INK.window }),
      Plot.text(windows, {
        x: (each: Span) => (each.startUnixMs + each.endUnixMs) / 2,
        y: 4,
        text: () => "observable",
        fill: INK.text,
        fontSize: 13,
      }),
      Plot.gridY([0, 15, 30, 45, 60, 75, 90], { stroke: INK.grid, strokeOpacity: 1 }),
      Plot.ruleY([limits.altitudeDegrees], { stroke: INK.limit, strokeDasharray: "7 5", strokeWidth: 1.5 }),
      Plot.text([[span.startUnixMs, limits.altitudeDegrees]], {
        text: () => `limit ${limits.altitudeDegrees}°`,
        textAnchor: "start",
        dx: 4,
        dy: -9,
        fill: INK.limit,
      }),
      ...curveMarks(moon, INK.moon, "Moon", "2 5"),
      ...curveMarks(curve, INK.line, shortName(target), undefined),
      ...nowMarks(nowUnixMs, span),
    ],
  );
  return { svg, altText: altTextOf(input, curve) };
}

/** A target's night as a finished picture. */
export async function drawTarget(input: TargetChartInput): Promise<Picture> {
  const { svg, altText } = targetChart(input);
  return { png: await rasterise(svg), altText, fileName: `${input.target.id.toLowerCase()}.png` };
}

function clipped(start: number, end: number, span: Span): Span[] {
  const from = Math.max(start, span.startUnixMs);
  const until = Math.min(end, span.endUnixMs);
  return until > from ? [{ startUnixMs: from, endUnixMs: until }] : [];
}

function altTextOf(input: TargetChartInput, curve: readonly AltitudePoint[]): string {
  const zone = input.observatory.site.timeZone;
  const top = highest(curve);
  const name = input.target.name;
  if (!top || top.altitudeDegrees <= 0)
    return `Altitude chart of ${name}: it stays below the horizon all night.`;
  const peak = `highest at ${Math.round(top.altitudeDegrees)}° about ${clockText(top.unixMs, zone)}`;
  const windows = input.windows.map(
    (window) => `${clockText(window.openUnixMs, zone)} to ${clockText(window.closeUnixMs, zone)}`,
  );
  const open = windows.length > 0 ? `observable ${windows.join(" and ")}` : "not observable this night";
  return `Altitude chart of ${name}: ${peak}, ${open}.`;
}
