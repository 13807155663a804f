/** A time to be told, as short as it can be without doubt. */
import { clockTime, dayAndTime, type TimePart } from "../../base/phrase.js";
import { HOUR, type UtcMillis } from "../../base/units.js";

/** The clock alone within half a day of `nowUnixMs`, else with the day. */
export function timeFrom(unixMs: UtcMillis, nowUnixMs: UtcMillis): TimePart {
  return Math.abs(unixMs - nowUnixMs) < 12 * HOUR ? clockTime(unixMs) : dayAndTime(unixMs);
}
