/** The practice clock begins at a dusk, whatever the hour, and skips daylight only. */
import { describe, expect, test } from "vitest";
import { DAY, HOUR, MINUTE } from "../../../src/base/units.js";
import { loadConfig } from "../../../src/config/load.js";
import { nightNamed } from "../../../src/sky/night.js";
import { sunAltitudeDegrees } from "../../../src/sky/place-at.js";
import {
  practiceStart,
  skipDaylight,
  watchForDaylight,
} from "../../../src/telescope/practice/practice-night.js";

const { observatory } = loadConfig("config/tern-hollow.yaml");
const { site } = observatory;

describe("the start of the practice clock", () => {
  test.each(["2026-01-10", "2026-03-08", "2026-06-21", "2026-11-01"])(
    "is the night's dusk at any hour of %s until its dawn, and after it the next",
    (date) => {
      const noon = nightNamed(date, site.timeZone).startUnixMs;
      const dusk = practiceStart(noon, 0, observatory);
      expect(sunAltitudeDegrees(dusk, site)).toBeCloseTo(observatory.limits.sunAltitudeDegrees, 1);
      expect(sunAltitudeDegrees(dusk + MINUTE, site)).toBeLessThan(observatory.limits.sunAltitudeDegrees);
      const nextDusk = practiceStart(noon + 26 * HOUR, 0, observatory);
      expect(nextDusk - dusk).toBeGreaterThan(23 * HOUR);
      for (let hour = 0; hour < 23; hour++) {
        const real = noon + hour * HOUR;
        const isOver = hour > 12 && sunAltitudeDegrees(real, site) > observatory.limits.sunAltitudeDegrees;
        expect(practiceStart(real, 0, observatory)).toBe(isOver ? nextDusk : dusk);
      }
    },
  );

  test("at ten in the morning is this evening's dusk", () => {
    const morning = nightNamed("2026-11-24", site.timeZone).startUnixMs + 22 * HOUR;
    const dusk = nightNamed("2026-11-25", site.timeZone).startUnixMs + 6 * HOUR;
    expect(Math.abs(practiceStart(morning, 0, observatory) - dusk)).toBeLessThan(HOUR);
  });

  test("goes on after the journal's last entry in the dark, and at the next dusk after one by day", () => {
    const noon = nightNamed("2026-11-25", site.timeZone).startUnixMs;
    const evening = noon + 10 * HOUR;
    expect(practiceStart(noon, evening, observatory)).toBe(evening + 1);
    const nextDusk = practiceStart(noon + DAY, 0, observatory);
    expect(practiceStart(noon, noon + 22 * HOUR, observatory)).toBe(nextDusk);
  });

  test("is the dusk of bright targets where it never gets dark", () => {
    const north = { ...observatory, site: { ...site, latitudeDegrees: 57.5 } };
    const noon = nightNamed("2026-06-21", site.timeZone).startUnixMs;
    const start = practiceStart(noon, 0, north);
    expect(sunAltitudeDegrees(start, north.site)).toBeCloseTo(observatory.limits.brightSunAltitudeDegrees, 1);
    expect(skipDaylight(start + HOUR, north)).toBeNull();
  });

  test("is midnight or so where the Sun does not set", () => {
    const north = { ...observatory, site: { ...site, latitudeDegrees: 69, timeZone: "Europe/Oslo" } };
    const noon = nightNamed("2026-06-21", "Europe/Oslo").startUnixMs;
    expect(practiceStart(noon, 0, north)).toBe(noon + 12 * HOUR);
  });
});

test("daylight is skipped to the next dusk, darkness is not skipped", () => {
  const noon = nightNamed("2026-11-25", site.timeZone).startUnixMs;
  const dusk = practiceStart(noon, 0, observatory);
  expect(skipDaylight(noon + HOUR, observatory)).toBe(dusk);
  expect(skipDaylight(dusk + 4 * HOUR, observatory)).toBeNull();
  expect(skipDaylight(noon + 21 * HOUR, observatory)).toBe(practiceStart(noon + DAY, 0, observatory));
});

describe("An idle practice telescope by day", () => {
  /** A clock that is where it was last moved to, and what is to happen next. */
  function daylight(startUnixMs: number, isIdle = () => true) {
    let now = startUnixMs;
    let next: { unixMs: number; action: () => void } | null = null;
    const moves: number[] = [];
    let evenings = 0;
    watchForDaylight({
      observatory,
      isIdle,
      onEvening: () => evenings++,
      clock: {
        now: () => now,
        at: (unixMs, action) => {
          next = { unixMs, action };
          return () => {};
        },
        jumpTo: (unixMs) => {
          now = unixMs;
          moves.push(unixMs);
        },
      },
    });
    return {
      moves,
      evenings: () => evenings,
      step: () => {
        if (!next) return;
        now = Math.max(now, next.unixMs);
        next.action();
      },
    };
  }

  const night = nightNamed("2026-11-24", observatory.site.timeZone);
  const dusk = skipDaylight(night.endUnixMs, observatory);

  test("stops at noon, so that what carries over is told its new estimate, and goes on to dusk", () => {
    const day = daylight(night.endUnixMs - 4 * HOUR);
    day.step();
    expect(day.moves).toEqual([night.endUnixMs]);
    expect(day.evenings()).toBe(0);
    day.step();
    expect(day.moves).toEqual([night.endUnixMs, dusk]);
    expect(day.evenings()).toBe(1);
  });

  test("waits while something is under way", () => {
    const day = daylight(night.endUnixMs - 4 * HOUR, () => false);
    day.step();
    day.step();
    expect(day.moves).toEqual([]);
  });
});
