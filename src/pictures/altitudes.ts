/** Altitude curves and twilight for the charts: sampled; altitudes as they are seen. */
import { MINUTE, type UtcMillis } from "../base/units.js";
import { apparentAltitude } from "../sky/airmass.js";
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
export function shortName(target: Target): string {
  return /^[A-Z]+\d/.test(target.id) ? target.id : target.name;
}

/** A target's apparent altitude every ten minutes. */
export function altitudeCurve(target: Target, night: Night, span: Span, site: Site): AltitudePoint[] {
  const track = trackOf(target, night, site);
  return sampleTimes(span).map((unixMs) => ({
    unixMs,
    altitudeDegrees: apparentAltitude(horizontalOf(track, unixMs, site).altitudeDegrees),
    name: target.name,
  }));
}

export interface Span {
  readonly startUnixMs: UtcMillis;
  readonly endUnixMs: UtcMillis;
}

/** The part of the night worth drawing: the Sun below +3°, or the whole night where it always is or never is. */
export function drawnSpan(night: Night, site: Site): Span {
  const low = sampleTimes(night).filter((unixMs) => sunAltitudeDegrees(unixMs, site) < 3);
  const first = low[0];
  const last = low[low.length - 1];
  if (first === undefined || last === undefined || last - first < 60 * MINUTE) return night;
  return { startUnixMs: first, endUnixMs: last };
}

/** Intervals in which the Sun is above an altitude, within a span. */
export function sunAbove(altitudeDegrees: number, span: Span, site: Site): Span[] {
  const found: Span[] = [];
  let since: UtcMillis | null = null;
  for (const unixMs of sampleTimes(span)) {
    const above = sunAltitudeDegrees(unixMs, site) > altitudeDegrees;
    if (above) since ??= unixMs;
    else if (since !== null) {
      found.push({ startUnixMs: since, endUnixMs: unixMs });
      since = null;
    }
  }
  if (since !== null) found.push({ startUnixMs: since, endUnixMs: span.endUnixMs });
  return found;
}

function sampleTimes(span: Span): UtcMillis[] {
  const times: UtcMillis[] = [];
  for (let unixMs = span.startUnixMs; unixMs <= span.endUnixMs; unixMs += STEP) times.push(unixMs);
  return times;
}
