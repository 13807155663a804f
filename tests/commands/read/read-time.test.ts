/** Times, dates and lengths of time as people write them. */
import { describe, expect, it } from "vitest";
import { Refusal } from "../../../src/base/refusal.js";
import { readDuration } from "../../../src/commands/read/read-duration.js";
import { readDate, readTime } from "../../../src/commands/read/read-time.js";
import { local, ZONE } from "../world.js";

const EVENING = local("2026-11-25T20:00");
const code = (run: () => unknown): string => {
  try {
    run();
  } catch (error) {
    if (error instanceof Refusal) return error.code;
    throw error;
  }
  return "accepted";
};

describe("A time", () => {
  it.each([
    ["22:30", "2026-11-25T22:30"],
    ["9:05", "2026-11-26T09:05"],
    ["01:20", "2026-11-26T01:20"],
    ["10pm", "2026-11-25T22:00"],
    ["10:15 pm", "2026-11-25T22:15"],
    ["12am", "2026-11-26T00:00"],
    ["30 min", "2026-11-25T20:30"],
    ["20m", "2026-11-25T20:20"],
    ["2h", "2026-11-25T22:00"],
    ["in 90 min", "2026-11-25T21:30"],
    ["+15", "2026-11-25T20:15"],
    ["2026-12-04 22:30", "2026-12-04T22:30"],
    ["2026-12-04T22:30", "2026-12-04T22:30"],
    ["2026-12-05T04:30:00.000Z", "2026-12-04T22:30"],
  ])("%s", (typed, meant) => {
    expect(readTime(typed, EVENING, ZONE)).toBe(local(meant));
  });

  it.each([
    ["02:30", "2027-03-13T20:00"],
    ["2:30 am", "2027-03-13T20:00"],
    ["2027-03-14 02:30", "2026-11-25T20:00"],
  ])("%s in the hour that the clocks pass over is refused with the next that there is", (typed, now) => {
    expect(() => readTime(typed, local(now), ZONE)).toThrow(
      "The clocks go forward then, and 02:30 on 14 Mar does not exist: type 03:30 or another time.",
    );
    expect(readTime(typed.replace(/0?2:30/, "03:30"), local(now), ZONE)).toBe(local("2027-03-14T03:30"));
  });

  it("that is just past is refused rather than taken for tomorrow", () => {
    expect(() => readTime("19:30", EVENING, ZONE)).toThrow(
      "19:30 is past: it is 20:00 at the observatory. Type a later time.",
    );
  });

  it("of last evening, typed after midnight, is past as well", () => {
    expect(code(() => readTime("22:30", local("2026-11-26T00:15"), ZONE))).toBe("time-past");
  });

  it.each(["25:00", "22:75", "13pm", "soon", "", "-5 min", "99", "2026-13-40 22:00", "2031-01-01 22:00"])(
    "“%s” is refused",
    (typed) => {
      expect(code(() => readTime(typed, EVENING, ZONE))).toMatch(/^(bad-time|time-past|time-too-far)$/);
    },
  );

  it("keeps to the clock on the wall across the end of summer time", () => {
    const before = local("2026-10-31T23:00");
    expect(readTime("02:30", before, ZONE)).toBe(local("2026-11-01T02:30"));
  });
});

describe("A date", () => {
  it("names the night by its evening", () => {
    expect(readDate("tonight", EVENING, ZONE)).toBe("2026-11-25");
    expect(readDate("Tonight", local("2026-11-26T03:00"), ZONE)).toBe("2026-11-25");
    expect(readDate("tomorrow", EVENING, ZONE)).toBe("2026-11-26");
    expect(readDate("2026-12-24", EVENING, ZONE)).toBe("2026-12-24");
  });

  it.each(["24 Dec", "2026-02-30", "2040-01-01", "yesterday's"])("“%s” is refused", (typed) => {
    expect(code(() => readDate(typed, EVENING, ZONE))).toMatch(/^(bad-date|time-too-far)$/);
  });
});

describe("A length of time", () => {
  it.each([
    ["20", 20],
    ["20s", 20],
    ["20 sec", 20],
    ["20 seconds", 20],
    ["2m", 120],
    ["1.5 min", 90],
    ["1,5 min", 90],
    ["0.5", 0.5],
    [".5", 0.5],
    ["1h", 3600],
  ])("%s", (typed, seconds) => {
    expect(readDuration(typed, "seconds")?.seconds).toBe(seconds);
  });

  it.each(["", "s", "-05", "+3", "1e3", "0x10", "NaN", "Infinity", "20 parsecs", "1 2", "٣"])(
    "“%s” is none",
    (typed) => {
      expect(readDuration(typed, "seconds")).toBeNull();
    },
  );
});
