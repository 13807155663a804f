/** What altitude charts share: the frame, twilight, curves with names, the present moment. */
import * as Plot from "@observablehq/plot";
import type { BodyTarget } from "../sky/target.js";
import { type AltitudePoint, type Span, sunAbove } from "./altitudes.js";
import { ALTITUDE_AXIS, chartSvg, INK, timeAxis } from "./chart.js";

/** The Moon, drawn beside every target. */
export const MOON: BodyTarget = { kind: "body", id: "moon", name: "Moon", type: "moon", body: "Moon" };

/** SVG of altitudes against time. */
export function altitudeChart(heading: string, span: Span, timeZone: string, marks: Plot.Markish[]): string {
  return chartSvg({
    heading,
    height: 500,
    marginLeft: 50,
    marginRight: 60,
    marginBottom: 34,
    marginTop: 16,
    x: timeAxis(span.startUnixMs, span.endUnixMs, timeZone),
    y: ALTITUDE_AXIS,
    marks,
  });
}

/** Daylight and twilight as a lighter ground, named in words. */
export function shading(span: Span, site: Parameters<typeof sunAbove>[2], sunLimit: number): Plot.Markish[] {
  const bright = sunAbove(sunLimit, span, site);
  return [
    Plot.rect(bright, {
      x1: "startUnixMs",
      x2: "endUnixMs",
      y1: 0,
      y2: 97,
      fill: INK.day,
      fillOpacity: 0.55,
    }),
    Plot.text(
      bright.filter((each) => each.endUnixMs - each.startUnixMs > 0.06 * (span.endUnixMs - span.startUnixMs)),
      {
        x: (each: Span) => (each.startUnixMs + each.endUnixMs) / 2,
        y: 93,
        text: () => "too bright",
        fill: INK.text,
        fontSize: 12,
      },
    ),
  ];
}

/** A curve above the horizon with its name at its highest point. */
export function curveMarks(
  points: readonly AltitudePoint[],
  colour: string,
  name: string,
  dash: string | undefined,
): Plot.Markish[] {
  const top = highest(points);
  if (!top || top.altitudeDegrees <= 0) return [];
  const style = {
    stroke: colour,
    strokeWidth: 3,
    clip: true as const,
    ...(dash ? { strokeDasharray: dash } : {}),
  };
  return [
    Plot.line(points as AltitudePoint[], { x: "unixMs", y: "altitudeDegrees", ...style }),
    Plot.text([top], {
      x: "unixMs",
      y: (point: AltitudePoint) => point.altitudeDegrees,
      dy: -12,
      text: () => name,
      fill: colour,
      fontWeight: "bold",
    }),
  ];
}

/** The present moment. */
export function nowMarks(nowUnixMs: number, span: Span): Plot.Markish[] {
  if (nowUnixMs < span.startUnixMs || nowUnixMs > span.endUnixMs) return [];
  return [
    Plot.ruleX([nowUnixMs], { stroke: INK.text, strokeWidth: 1.5 }),
    Plot.text([nowUnixMs], {
      x: (each: number) => each,
      y: 9,
      dx: 5,
      text: () => "now",
      textAnchor: "start",
      fill: INK.text,
    }),
  ];
}

/** The highest sampled point of a curve, or null for an empty one. */
export function highest(points: readonly AltitudePoint[]): AltitudePoint | null {
  return points.reduce<AltitudePoint | null>(
    (best, point) => (best === null || point.altitudeDegrees > best.altitudeDegrees ? point : best),
    null,
  );
}
