import type { Target } from "../sky/target.js";
import { altitudeChart, curveMarks, highest, MOON, type NightShown } from "./altitude-frame.js";
import { altitudeCurve, curveName, drawnSpan } from "./altitudes.js";
import { type Chart, clockText, INK } from "./chart.js";

/** Dashes tell the curves apart without colour. */
const DASHES = [undefined, "10 5", "3 4", "14 4 3 4", "6 6", "1 4"];

export interface TonightChartInput extends NightShown {
  /** A few suggested targets. */
  readonly targets: readonly Target[];
}

/** SVG and alt text of the night's suggestions. */
export function tonightChart(input: TonightChartInput): Chart {
  const { night } = input;
  const { site } = input.observatory;
  const span = drawnSpan(night, site);
  const targets = input.targets.slice(0, INK.lines.length);
  const curves = targets.map((target) => altitudeCurve(target, night, span, site));
  const svg = altitudeChart(`Tonight, ${night.date} · altitudes`, span, input, [
    ...curveMarks(altitudeCurve(MOON, night, span, site), INK.moon, "Moon", "2 6"),
    ...curves.flatMap((curve, index) =>
      curveMarks(curve, INK.lines[index] as string, curveName(targets[index] as Target), DASHES[index]),
    ),
  ]);
  const peaks = curves.flatMap((curve, index) => {
    const top = highest(curve);
    if (!top) return [];
    return [
      `${curveName(targets[index] as Target)} ${Math.round(top.altitudeDegrees)}° at ${clockText(top.unixMs, site.timeZone)}`,
    ];
  });
  const altText =
    peaks.length > 0
      ? `Altitudes tonight, highest points: ${peaks.join("; ")}.`
      : "Altitudes tonight: none of the suggestions is above the horizon.";
  return { svg, altText, fileName: "tonight.png" };
}
