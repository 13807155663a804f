/** Times to be told, as short as they can be without doubt. */
import { clockTime, dayAndTime, type Phrase, say, type TimePart } from "../../base/phrase.js";
import { HOUR, MINUTE, type UtcMillis } from "../../base/units.js";
import type { TwoStarts } from "../../forecast/two-starts.js";

/** The clock alone within half a day of `nowUnixMs`, else with the day. */
export function timeFrom(unixMs: UtcMillis, nowUnixMs: UtcMillis): TimePart {
  return Math.abs(unixMs - nowUnixMs) < 12 * HOUR ? clockTime(unixMs) : dayAndTime(unixMs);
}

/** A start with the range in which it lies by a chance of 80 %, as far as one is known. */
export interface TellableStart {
  readonly startUnixMs: UtcMillis;
  readonly earliestUnixMs?: UtcMillis | null | undefined;
  readonly latestUnixMs?: UtcMillis | null | undefined;
  readonly either?: TwoStarts | undefined;
}

/**
 * "21:40 (21:32–21:55)"; the start alone where its range is no wider than the minute that is printed; of two
 * stretches "19:40, or if it has not come by then, about 05:30".
 */
export function startWithin(told: TellableStart, nowUnixMs: UtcMillis): Phrase {
  const { startUnixMs, earliestUnixMs, latestUnixMs, either } = told;
  if (either) {
    const [first, other] = [timeFrom(either.firstUnixMs, nowUnixMs), timeFrom(either.otherUnixMs, nowUnixMs)];
    return say`${first}, or if it has not come by then, about ${other}`;
  }
  const start = timeFrom(startUnixMs, nowUnixMs);
  if (earliestUnixMs == null || latestUnixMs == null) return [start];
  if (latestUnixMs - earliestUnixMs <= MINUTE) return [start];
  return say`${start} (${clockTime(earliestUnixMs)}–${clockTime(latestUnixMs)})`;
}
