/** From when on a request is taken that waits for its target to stand highest tonight. */
import { type Degrees, MINUTE, type Millis, type UtcMillis } from "../base/units.js";
import { bestIn } from "../observatory/highest.js";
import type { Observatory } from "../observatory/observatory.js";
import { windowsOf } from "../observatory/window.js";
import { remaining } from "../sky/interval.js";
import { nightOf } from "../sky/night.js";
import type { Target } from "../sky/target.js";

export interface BestStart {
  readonly bestUnixMs: UtcMillis;
  /** True altitude then. */
  readonly altitudeDegrees: Degrees;
  /** From when on it may be taken, a whole minute. */
  readonly startUnixMs: UtcMillis;
}

/** Kept free before a window closes: a tenth of the time until then, no more than this. */
const LONGEST_RESERVE: Millis = 15 * MINUTE;

/**
 * In the night of `fromUnixMs`, so that half of it is done when the target stands highest, with time to spare before
 * its window closes. null where it has no window in what is left of that night.
 * @param needMs how long the request needs the telescope
 */
export function bestStart(
  target: Target,
  needMs: Millis,
  fromUnixMs: UtcMillis,
  observatory: Observatory,
): BestStart | null {
  const night = nightOf(fromUnixMs, observatory.site.timeZone);
  const windows = remaining(windowsOf(target, night, observatory), fromUnixMs);
  const best = bestIn(target, night, observatory, windows);
  const window = best && windows.find(({ closeUnixMs }) => best.unixMs <= closeUnixMs);
  if (!best || !window) return null;
  const { openUnixMs, closeUnixMs } = window;
  const reserveMs = Math.min(LONGEST_RESERVE, (closeUnixMs - fromUnixMs) / 10);
  const startUnixMs = Math.max(
    openUnixMs,
    Math.min(best.unixMs - needMs / 2, closeUnixMs - needMs - reserveMs),
  );
  return {
    bestUnixMs: best.unixMs,
    altitudeDegrees: best.altitudeDegrees,
    startUnixMs: Math.floor(startUnixMs / MINUTE) * MINUTE,
  };
}
