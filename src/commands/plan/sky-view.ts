/** The sky as answers need it: tonight, where a target stands now, when it is best, where the Moon is. */
import { greatest } from "d3-array";
import { type Degrees, HOUR, MINUTE, type UtcMillis } from "../../base/units.js";
import { nightSkyOf } from "../../observatory/night-sky.js";
import type { Observatory, Window } from "../../observatory/observatory.js";
import { windowsOf } from "../../observatory/window.js";
import { type Interval, remaining } from "../../sky/interval.js";
import { type Night, nightOf } from "../../sky/night.js";
import type { Target } from "../../sky/target.js";
import { horizontalOf, type Track, trackOf } from "../../sky/track.js";

/** The highest point of a stretch of time. */
export interface Highest {
  readonly unixMs: UtcMillis;
  /** True altitude. */
  readonly altitudeDegrees: Degrees;
}

/** The night that an instant belongs to, at the observatory. */
export function nightAt(unixMs: UtcMillis, observatory: Observatory): Night {
  return nightOf(unixMs, observatory.site.timeZone);
}

/** The stretches of a night in which it is dark enough for faint targets, in order; empty when it never is. */
export function darkHoursOf(night: Night, observatory: Observatory): readonly Interval[] {
  return nightSkyOf(night, observatory).dark;
}

/** What is left of a target's windows after `fromUnixMs`, in order. */
export function windowsFrom(
  target: Target,
  night: Night,
  observatory: Observatory,
  fromUnixMs: UtcMillis,
): Window[] {
  return remaining(windowsOf(target, night, observatory), fromUnixMs);
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
