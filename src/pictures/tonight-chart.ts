/** Several targets' altitudes through one night. */
import * as Plot from "@observablehq/plot";
import type { Target } from "../sky/target.js";
import { altitudeChart, curveMarks, highest, MOON, nowMarks, shading } from "./altitude-frame.js";
import { altitudeCurve, drawnSpan, shortName } from "./altitudes.js";
import { clockText, INK, zoneText } from "./chart.js";
import type { Picture } from "./picture.js";
import type { TonightChartInput } from "./pictures.js";
import { rasterise } from "./raster.js";

/** Dashes tell the curves apart without colour. */
const DASHES = [undefined, "10 5", "3 4", "14 4 3 4", "6 6", "1 4"];

/** SVG and alt text of the night's suggestions. */
export function tonightChart(input: TonightChartInput): { svg: string; altText: string } {
  const { observatory, night, nowUnixMs } = input;
  const { site, limits } = observatory;
  const span = drawnSpan(night, site);
  const targets = input.targets.slice(0, INK.lines.length);
  const curves = targets.map((target) => altitudeCurve(target, night, span, site));
  const svg = altitudeChart(
    `Tonight, ${night.date} · altitudes · ${zoneText(nowUnixMs, site.timeZone)}`,
    span,
    site.timeZone,
    [
      ...shading(span, site, limits.sunAltitudeDegrees),
      Plot.gridY([0, 15, 30, 45, 60, 75, 90], { stroke: INK.grid, strokeOpacity: 1 }),
      Plot.ruleY([limits.altitudeDegrees], { stroke: INK.limit, strokeDasharray: "7 5", strokeWidth: 1.5 }),
      ...curveMarks(altitudeCurve(MOON, night, span, site), INK.moon, "Moon", "2 6"),
      ...curves.flatMap((curve, index) =>
        curveMarks(curve, INK.lines[index] as string, shortName(targets[index] as Target), DASHES[index]),
      ),
      ...nowMarks(nowUnixMs, span),
    ],
  );
  const peaks = curves.flatMap((curve, index) => {
    const top = highest(curve);
    if (!top || top.altitudeDegrees <= 0) return [];
    return [
      `${shortName(targets[index] as Target)} ${Math.round(top.altitudeDegrees)}° at ${clockText(top.unixMs, site.timeZone)}`,
    ];
  });
  const altText =
    peaks.length > 0
      ? `Altitudes tonight, highest points: ${peaks.join("; ")}.`
      : "Altitudes tonight: none of the suggestions is above the horizon.";
  return { svg, altText };
}

/** The night's suggestions as a finished picture. */
export async function drawTonight(input: TonightChartInput): Promise<Picture> {
  const { svg, altText } = tonightChart(input);
  return { png: await rasterise(svg), altText, fileName: "tonight.png" };
}
