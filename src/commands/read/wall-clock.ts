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

/** A clock time that comes twice in the night in which the clock is put back. */
export class TwiceOnTheWall extends Refusal {
  /** Each as it is typed without doubt: "2026-11-01T01:30-05:00". */
  readonly both: readonly [string, string];

  constructor(first: DateTime, second: DateTime) {
    const both = [first, second].map((each) => each.toFormat("yyyy-MM-dd'T'HH:mmZZ")) as [string, string];
    super(
      "which-time",
      `The clocks go back then, and ${first.toFormat("HH:mm")} comes twice: type ${both[0]} for the first, ${both[1]} for the second.`,
    );
    this.both = both;
  }
}

/**
 * The same of a time to come: where the clock shows it twice and both are to come, it has to be said which.
 * @throws {TwiceOnTheWall}
 * @throws {Refusal} code "no-such-time"
 */
export function comingOnTheWall(day: DateTime, hour: number, minute: number, now: UtcMillis): UtcMillis {
  const unixMs = onTheWall(day, hour, minute);
  const [first, second] = day
    .set({ hour, minute, second: 0, millisecond: 0 })
    .getPossibleOffsets()
    .sort((a, b) => a.toMillis() - b.toMillis());
  if (!first || !second) return unixMs;
  if (first.toMillis() > now) throw new TwiceOnTheWall(first, second);
  return second.toMillis();
}

function padded(value: number): string {
  return String(value).padStart(2, "0");
}
