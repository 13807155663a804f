/** Whether it is worth a request's while to wait until its target stands highest tonight. */
import { MINUTE, type Millis, type UtcMillis } from "../../base/units.js";
import type { Observatory } from "../../observatory/observatory.js";
import { type BestStart, bestStart } from "../../queue/best-start.js";
import { leastTime } from "../../queue/least-time.js";
import type { Wish } from "../../queue/request.js";
import { airmassAtTrue } from "../../sky/airmass.js";
import type { Target } from "../../sky/target.js";
import { horizontalOf, trackOf } from "../../sky/track.js";
import { nightAt } from "./sky-view.js";

/** A shorter wait is none. */
const SHORTEST_WAIT: Millis = 10 * MINUTE;
/** In airmasses; less is not seen in a frame. */
const LEAST_GAIN = 0.05;

/**
 * The best of what is left of tonight.
 * @param fromUnixMs from when on it may be taken
 * @returns null where it has no window tonight, or where `fromUnixMs` belongs to another night
 */
export function bestFor(
  wish: Pick<Wish, "target" | "exposureSeconds" | "frames">,
  fromUnixMs: UtcMillis,
  now: UtcMillis,
  observatory: Observatory,
): BestStart | null {
  if (nightAt(fromUnixMs, observatory).date !== nightAt(now, observatory).date) return null;
  return bestStart(wish.target, leastTime(wish, observatory), fromUnixMs, observatory);
}

/** Whether there is a wait to speak of between a start and the best. */
export function worthTheWait({ startUnixMs }: BestStart, fromUnixMs: UtcMillis): boolean {
  return startUnixMs - fromUnixMs >= SHORTEST_WAIT;
}

/** Whether its target stands so much higher at its best than at a start that this is worth offering. */
export function standsBetter(
  target: Target,
  best: BestStart,
  startUnixMs: UtcMillis,
  observatory: Observatory,
): boolean {
  const track = trackOf(target, nightAt(startUnixMs, observatory), observatory.site);
  const { altitudeDegrees } = horizontalOf(track, startUnixMs);
  const gain = airmassAtTrue(altitudeDegrees) - airmassAtTrue(best.altitudeDegrees);
  return worthTheWait(best, startUnixMs) && gain >= LEAST_GAIN;
}
