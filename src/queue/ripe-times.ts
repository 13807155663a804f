/** When a target stands as high as is worth waiting for. */
import { MINUTE, type Millis, type UtcMillis } from "../base/units.js";
import type { Window } from "../observatory/observatory.js";

/** Between two looks a target's altitude is taken to rise or fall, not both. */
const STEP: Millis = 10 * MINUTE;

/** Of one night; both are about altitudes within the windows alone. */
export interface RipeTimes {
  /** Where it stands at the worthwhile altitude or above, in order. */
  readonly stretches: readonly Window[];
  /** When it stands highest; null without a window. */
  readonly bestUnixMs: UtcMillis | null;
}

/**
 * Looks through a night's windows.
 * @param aboveAt how far above the worthwhile altitude it stands at an instant, in any unit that grows with it
 */
export function ripeTimes(windows: readonly Window[], aboveAt: (unixMs: UtcMillis) => number): RipeTimes {
  const stretches: Window[] = [];
  let best = Number.NEGATIVE_INFINITY;
  let bestUnixMs: UtcMillis | null = null;
  for (const { openUnixMs, closeUnixMs } of windows) {
    let from: UtcMillis | null = null;
    let before = openUnixMs;
    for (let at = openUnixMs; ; at = Math.min(at + STEP, closeUnixMs)) {
      const above = aboveAt(at);
      if (above > best) [best, bestUnixMs] = [above, at];
      if (above >= 0 && from === null) from = at === openUnixMs ? at : crossing(aboveAt, before, at);
      if (from !== null && (above < 0 || at === closeUnixMs)) {
        const until = above < 0 ? crossing(aboveAt, before, at) : at;
        stretches.push({ openUnixMs: from, closeUnixMs: until });
        from = null;
      }
      if (at === closeUnixMs) break;
      before = at;
    }
  }
  return { stretches, bestUnixMs };
}

/**
 * The first instant from `fromUnixMs` on that is worth waiting for: at the worthwhile altitude, else at its best;
 * `fromUnixMs` itself where it will not stand higher.
 */
export function ripeFrom({ stretches, bestUnixMs }: RipeTimes, fromUnixMs: UtcMillis): UtcMillis {
  const stretch = stretches.find(({ closeUnixMs }) => closeUnixMs > fromUnixMs);
  if (stretch) return Math.max(stretch.openUnixMs, fromUnixMs);
  return stretches.length === 0 ? Math.max(bestUnixMs ?? fromUnixMs, fromUnixMs) : fromUnixMs;
}

/** To the millisecond, between two instants on either side of it; the later side. */
function crossing(aboveAt: (unixMs: UtcMillis) => number, one: UtcMillis, other: UtcMillis): UtcMillis {
  const rises = aboveAt(other) >= 0;
  let [low, high] = [one, other];
  while (high - low > 1) {
    const middle = Math.floor((low + high) / 2);
    if (aboveAt(middle) >= 0 === rises) high = middle;
    else low = middle;
  }
  return high;
}
