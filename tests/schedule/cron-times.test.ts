/** Due times by the clock on the wall, also where that clock jumps. */
import { DateTime } from "luxon";
import { describe, expect, test } from "vitest";
import { DAY, HOUR, MINUTE, type UtcMillis } from "../../src/base/units.js";
import { CronTimes } from "../../src/schedule/cron-times.js";

const CHICAGO = "America/Chicago";
/** Half-hour summer time: clocks go from 02:00 to 02:30 in October, and back from 02:00 to 01:30 in April (IANA tzdata). */
const LORD_HOWE = "Australia/Lord_Howe";

/** Every due time in [from, from + days], by asking minute by minute as the schedule does. */
function dueTimes(expression: string, zone: string, fromLocal: string, days = 3): string[] {
  const times = new CronTimes(expression, zone);
  const from = DateTime.fromISO(fromLocal, { zone }).toMillis();
  const found: UtcMillis[] = [];
  for (let unixMs = from; unixMs <= from + days * DAY; unixMs += MINUTE) {
    const due = times.latest(unixMs - MINUTE, unixMs);
    if (due !== null) found.push(due);
  }
  return found.map((unixMs) => DateTime.fromMillis(unixMs, { zone }).toFormat("MM-dd HH:mm ZZ"));
}

describe("due times", () => {
  test("follow the wall clock over the spring change: 23 hours apart", () => {
    expect(dueTimes("30 8 * * *", CHICAGO, "2026-03-07T00:00")).toEqual([
      "03-07 08:30 -06:00",
      "03-08 08:30 -05:00",
      "03-09 08:30 -05:00",
    ]);
  });

  test("and over the autumn change: 25 hours apart", () => {
    expect(dueTimes("0 12 * * *", CHICAGO, "2026-10-31T00:00")).toEqual([
      "10-31 12:00 -05:00",
      "11-01 12:00 -06:00",
      "11-02 12:00 -06:00",
    ]);
  });

  test("at 02:30, which does not exist in the spring night, come once, right after the gap", () => {
    expect(dueTimes("30 2 * * *", CHICAGO, "2026-03-07T00:00")).toEqual([
      "03-07 02:30 -06:00",
      "03-08 03:00 -05:00",
      "03-09 02:30 -05:00",
    ]);
  });

  test("at 01:30, which comes twice in the autumn night, come once", () => {
    expect(dueTimes("30 1 * * *", CHICAGO, "2026-10-31T00:00")).toEqual([
      "10-31 01:30 -05:00",
      "11-01 01:30 -05:00",
      "11-02 01:30 -06:00",
    ]);
  });

  test("where clocks change by half an hour: 02:15 is skipped, 01:45 comes twice, noon is noon", () => {
    expect(dueTimes("15 2 * * *", LORD_HOWE, "2026-10-03T00:00")).toEqual([
      "10-03 02:15 +10:30",
      "10-04 02:30 +11:00",
      "10-05 02:15 +11:00",
    ]);
    expect(dueTimes("45 1 * * *", LORD_HOWE, "2026-04-04T00:00")).toEqual([
      "04-04 01:45 +11:00",
      "04-05 01:45 +11:00",
      "04-06 01:45 +10:30",
    ]);
    expect(dueTimes("0 12 * * *", LORD_HOWE, "2026-10-03T00:00")).toEqual([
      "10-03 12:00 +10:30",
      "10-04 12:00 +11:00",
      "10-05 12:00 +11:00",
    ]);
    // Just after the shift back, what does not come twice is not taken for a repetition.
    expect(dueTimes("15 2 * * *", LORD_HOWE, "2026-04-05T00:00", 1)).toEqual(["04-05 02:15 +10:30"]);
  });

  test("keep to weekdays and ranges as node-cron reads them", () => {
    expect(dueTimes("0 9 * * 1-5", CHICAGO, "2026-11-20T00:00", 4)).toEqual([
      "11-20 09:00 -06:00",
      "11-23 09:00 -06:00",
    ]);
  });

  test("of a long absence give the latest alone, and none outside the span", () => {
    const times = new CronTimes("30 8 * * *", CHICAGO);
    const now = DateTime.fromISO("2026-11-26T11:00", { zone: CHICAGO }).toMillis();
    const due = DateTime.fromISO("2026-11-26T08:30", { zone: CHICAGO }).toMillis();
    expect(times.latest(now - 7 * DAY, now)).toBe(due);
    expect(times.latest(due, now)).toBeNull();
    expect(times.latest(due - 1, now)).toBe(due);
    expect(times.latest(now - HOUR, now)).toBeNull();
  });
});
