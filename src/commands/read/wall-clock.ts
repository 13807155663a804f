/** A time on the observatory's clock, which passes over an hour when it is put forward in spring. */
import type { DateTime } from "luxon";
import { Refusal } from "../../base/refusal.js";
import type { UtcMillis } from "../../base/units.js";

/**
 * The instant at which the clock shows that time on that day, both in the zone of `day`.
 * @throws {Refusal} code "no-such-time" for a time that the clock passes over
 */
export function onTheWall(day: DateTime, hour: number, minute: number): UtcMillis {
  const at = day.set({ hour, minute, second: 0, millisecond: 0 });
  if (at.hour === hour && at.minute === minute) return at.toMillis();
  const typed = day.setLocale("en").toFormat("d LLL");
  throw new Refusal(
    "no-such-time",
    `The clocks go forward then, and ${padded(hour)}:${padded(minute)} on ${typed} does not exist: type ${at.toFormat("HH:mm")} or another time.`,
  );
}

function padded(value: number): string {
  return String(value).padStart(2, "0");
}
