/** One target's night: altitude curve, window, limits, Moon. */
import * as Plot from "@observablehq/plot";
import type { Window } from "../observatory/observatory.js";
import { inBoth } from "../sky/interval.js";
import type { Target } from "../sky/target.js";
import {
  altitudeChart,
  curveMarks,
  ground,
  halfway,
  highest,
  MOON,
  type NightShown,
} from "./altitude-frame.js";
import { type AltitudePoint, altitudeCurve, curveName, drawnSpan } from "./altitudes.js";
import { type Chart, clockText, INK } from "./chart.js";

export interface TargetChartInput extends NightShown {
  readonly target: Target;
  readonly windows: readonly Window[];
}

/** SVG and alt text of a target's night. */
export function targetChart(input: TargetChartInput): Chart {
  const { night, target } = input;
  const { site, limits } = input.observatory;
  const span = drawnSpan(night, site);
  const curve = altitudeCurve(target, night, span, site);
  const moon = target.id === "moon" ? [] : altitudeCurve(MOON, night, span, site);
  const windows = inBoth(input.windows, [span]);
  const svg = altitudeChart(
    `${target.name} · night of ${night.date}`,
    span,
    input,
    [
      Plot.text([[span.openUnixMs, limits.altitudeDegrees]], {
        text: () => `limit ${limits.altitudeDegrees}°`,
        textAnchor: "start",
        dx: 4,
        dy: -9,
        fill: INK.limit,
      }),
      ...curveMarks(moon, INK.moon, "Moon", "2 5"),
      ...curveMarks(curve, INK.line, curveName(target), undefined),
    ],
    [
      ground(windows, INK.window),
      Plot.text(windows, { x: halfway, y: 4, text: () => "observable", fill: INK.text, fontSize: 13 }),
    ],
  );
  return { svg, altText: altTextOf(input, curve), fileName: `${target.id.toLowerCase()}.png` };
}

function altTextOf(input: TargetChartInput, curve: readonly AltitudePoint[]): string {
  const zone = input.observatory.site.timeZone;
  const top = highest(curve);
  const name = input.target.name;
  if (!top) return `Altitude chart of ${name}: it stays below the horizon all night.`;
  const peak = `highest at ${Math.round(top.altitudeDegrees)}° about ${clockText(top.unixMs, zone)}`;
  const windows = input.windows.map(
    (window) => `${clockText(window.openUnixMs, zone)} to ${clockText(window.closeUnixMs, zone)}`,
  );
  const open = windows.length > 0 ? `observable ${windows.join(" and ")}` : "not observable this night";
  return `Altitude chart of ${name}: ${peak}, ${open}.`;
}
