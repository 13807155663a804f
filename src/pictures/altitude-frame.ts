/** What altitude charts share: the frame, twilight, curves with names, the present moment. */
import * as Plot from "@observablehq/plot";
import { greatest } from "d3-array";
import type { UtcMillis } from "../base/units.js";
import type { Observatory } from "../observatory/observatory.js";
import { type Interval, outside } from "../sky/interval.js";
import type { Night } from "../sky/night.js";
import type { BodyTarget } from "../sky/target.js";
import { whileSunBelow } from "../sky/twilight.js";
import type { AltitudePoint } from "./altitudes.js";
import { ALTITUDE_AXIS, ALTITUDE_TICKS, chartSvg, INK, timeAxis, zoneText } from "./chart.js";

/** The Moon, drawn beside every target. */
export const MOON: BodyTarget = { kind: "body", id: "moon", name: "Moon", type: "moon", body: "Moon" };

/** What every altitude chart is of. */
export interface NightShown {
  readonly observatory: Observatory;
  readonly night: Night;
  readonly nowUnixMs: UtcMillis;
}

/**
 * SVG of altitudes against time: ground, grid, altitude limit, the marks, and the present moment.
 * @param below what lies below the grid
 */
export function altitudeChart(
  title: string,
  span: Interval,
  shown: NightShown,
  marks: Plot.Markish[],
  below: Plot.Markish[] = [],
): string {
  const { observatory, nowUnixMs } = shown;
  const { site, limits } = observatory;
  return chartSvg({
    heading: `${title} · ${zoneText(nowUnixMs, site.timeZone)}`,
    height: 500,
    marginLeft: 50,
    marginRight: 60,
    marginBottom: 34,
    marginTop: 16,
    x: timeAxis(span, site.timeZone),
    y: ALTITUDE_AXIS,
    marks: [
      ...shading(span, shown),
      ...below,
      Plot.gridY(ALTITUDE_TICKS, { stroke: INK.grid, strokeOpacity: 1 }),
      Plot.ruleY([limits.altitudeDegrees], { stroke: INK.limit, strokeDasharray: "7 5", strokeWidth: 1.5 }),
      ...marks,
      ...nowMarks(nowUnixMs, span),
    ],
  });
}

/** Daylight and twilight as a lighter ground, named in words. */
function shading(span: Interval, { observatory: { site, limits }, night }: NightShown): Plot.Markish[] {
  const bright = outside(whileSunBelow(limits.sunAltitudeDegrees, night, site), span);
  const wide = bright.filter((each) => lengthOf(each) > 0.06 * lengthOf(span));
  return [
    ground(bright, INK.day, 0.55),
    Plot.text(wide, { x: halfway, y: 93, text: () => "too bright", fill: INK.text, fontSize: 12 }),
  ];
}

/** Stretches of time as a ground from the bottom to the top. */
export function ground(stretches: readonly Interval[], fill: string, fillOpacity = 1): Plot.Markish {
  return Plot.rect([...stretches], {
    x1: "openUnixMs",
    x2: "closeUnixMs",
    y1: 0,
    y2: 97,
    fill,
    fillOpacity,
  });
}

function lengthOf({ openUnixMs, closeUnixMs }: Interval): number {
  return closeUnixMs - openUnixMs;
}

export function halfway({ openUnixMs, closeUnixMs }: Interval): UtcMillis {
  return (openUnixMs + closeUnixMs) / 2;
}

/** A curve above the horizon with its name at its highest point. */
export function curveMarks(
  points: readonly AltitudePoint[],
  colour: string,
  name: string,
  dash: string | undefined,
): Plot.Markish[] {
  const top = highest(points);
  if (!top) return [];
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
function nowMarks(nowUnixMs: number, { openUnixMs, closeUnixMs }: Interval): Plot.Markish[] {
  if (nowUnixMs < openUnixMs || nowUnixMs > closeUnixMs) return [];
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

/** The highest sampled point of a curve where that is above the horizon. */
export function highest(points: readonly AltitudePoint[]): AltitudePoint | null {
  const top = greatest(points, (point) => point.altitudeDegrees);
  return top && top.altitudeDegrees > 0 ? top : null;
}
