/** When a target stands highest. */
import { greatest } from "d3-array";
import { type Degrees, HOUR, MINUTE, type UtcMillis } from "../base/units.js";
import type { Night } from "../sky/night.js";
import type { Target } from "../sky/target.js";
import { horizontalOf, type Track, trackOf } from "../sky/track.js";
import type { Observatory, Window } from "./observatory.js";

/** The highest point of a stretch of time. */
export interface Highest {
  readonly unixMs: UtcMillis;
  /** True altitude. */
  readonly altitudeDegrees: Degrees;
}

/** When a target stands highest within a stretch, to the minute. */
export function highestIn(track: Track, fromUnixMs: UtcMillis, untilUnixMs: UtcMillis): Highest {
  const coarse = highestOf(track, fromUnixMs, untilUnixMs, HOUR / 3);
  const from = Math.max(fromUnixMs, coarse.unixMs - HOUR / 3);
  return highestOf(track, from, Math.min(untilUnixMs, coarse.unixMs + HOUR / 3), MINUTE);
}

/** The same over all windows; null when there is none. */
export function bestIn(
  target: Target,
  night: Night,
  observatory: Observatory,
  windows: readonly Window[],
): Highest | null {
  const track = trackOf(target, night, observatory.site);
  const peaks = windows.map((each) => highestIn(track, each.openUnixMs, each.closeUnixMs));
  return greatest(peaks, (each) => each.altitudeDegrees) ?? null;
}

function highestOf(track: Track, from: UtcMillis, until: UtcMillis, step: number): Highest {
  let best = { unixMs: from, altitudeDegrees: horizontalOf(track, from).altitudeDegrees };
  for (let at = from + step; at < until + step; at += step) {
    const unixMs = Math.min(at, until);
    const altitudeDegrees = horizontalOf(track, unixMs).altitudeDegrees;
    if (altitudeDegrees > best.altitudeDegrees) best = { unixMs, altitudeDegrees };
  }
  return best;
}
