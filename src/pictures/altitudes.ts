/** Altitude curves and twilight for the charts: sampled; altitudes as they are seen. */
import { extent, range } from "d3-array";
import { MINUTE, type UtcMillis } from "../base/units.js";
import { apparentAltitude } from "../sky/airmass.js";
import type { Interval } from "../sky/interval.js";
import type { Night } from "../sky/night.js";
import { sunAltitudeDegrees } from "../sky/place-at.js";
import type { Site } from "../sky/site.js";
import type { Target } from "../sky/target.js";
import { horizontalOf, trackOf } from "../sky/track.js";

const STEP = 10 * MINUTE;

export interface AltitudePoint {
  readonly unixMs: UtcMillis;
  readonly altitudeDegrees: number;
  readonly name: string;
}

/** What a target is called where space is short: "M31", but "Mu Cephei". */
export function curveName(target: Target): string {
  return /^[A-Z]+\d/.test(target.id) ? target.id : target.name;
}

/** A target's apparent altitude every ten minutes. */
export function altitudeCurve(target: Target, night: Night, span: Interval, site: Site): AltitudePoint[] {
  const track = trackOf(target, night, site);
  return sampleTimes(span).map((unixMs) => ({
    unixMs,
    altitudeDegrees: apparentAltitude(horizontalOf(track, unixMs, site).altitudeDegrees),
    name: target.name,
  }));
}

/** The part of the night worth drawing: the Sun below +3°, or the whole night where it always is or never is. */
export function drawnSpan({ startUnixMs, endUnixMs }: Night, site: Site): Interval {
  const whole = { openUnixMs: startUnixMs, closeUnixMs: endUnixMs };
  const low = sampleTimes(whole).filter((unixMs) => sunAltitudeDegrees(unixMs, site) < 3);
  const [openUnixMs, closeUnixMs] = extent(low);
  if (openUnixMs === undefined || closeUnixMs - openUnixMs < 60 * MINUTE) return whole;
  return { openUnixMs, closeUnixMs };
}

function sampleTimes({ openUnixMs, closeUnixMs }: Interval): UtcMillis[] {
  return range(openUnixMs, closeUnixMs + 1, STEP);
}
