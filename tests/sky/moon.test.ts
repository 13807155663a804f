/** The Moon's phase, its looks and its hours. */
import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { DAY, HOUR, MINUTE } from "../../src/base/units.js";
import { appearanceOf, moonSemidiameter } from "../../src/sky/appearance.js";
import { moonPhase } from "../../src/sky/moon.js";
import { nightNamed } from "../../src/sky/night.js";
import { horizontal, separationDegrees } from "../../src/sky/place-at.js";
import { riseTransitSet } from "../../src/sky/rise-set.js";
import { siteAt, ternHollow } from "./things.js";

/**
 * Principal phases of 2024 (UTC, to the minute), from almanac tables, from memory:
 * new 5 Jul 22:57, first quarter 13 Jul 22:49, full 21 Jul 10:17, last quarter 28 Jul 02:52.
 */
const JULY_2024 = [
  [Date.UTC(2024, 6, 5, 22, 57), 0, "new moon"],
  [Date.UTC(2024, 6, 13, 22, 49), 90, "first quarter"],
  [Date.UTC(2024, 6, 21, 10, 17), 180, "full moon"],
  [Date.UTC(2024, 6, 28, 2, 52), 270, "last quarter"],
] as const;

describe("phase", () => {
  test("is that of the almanac at the principal phases of a month", () => {
    for (const [unixMs, elongation, name] of JULY_2024) {
      const phase = moonPhase(unixMs);
      const off = ((phase.elongationDegrees - elongation + 540) % 360) - 180;
      // Half a degree an hour: a minute and a half is 0.0125°.
      expect(Math.abs(off), name).toBeLessThan(0.0125);
      expect(phase.name).toBe(name);
    }
  });

  test("between them is a crescent or gibbous, waxing or waning", () => {
    const later = (index: number): string => moonPhase(JULY_2024[index]![0] + 3.5 * DAY).name;
    expect([later(0), later(1), later(2), later(3)]).toEqual([
      "waxing crescent",
      "waxing gibbous",
      "waning gibbous",
      "waning crescent",
    ]);
  });

  test("and the lit part agree: (1 + cos i) / 2 (Meeus, Astronomical Algorithms, ch. 48)", () => {
    fc.assert(
      fc.property(fc.integer({ min: Date.UTC(2024, 0, 1), max: Date.UTC(2030, 0, 1) }), (unixMs) => {
        const { phaseAngleDegrees, illuminatedFraction, elongationDegrees } = moonPhase(unixMs);
        const lit = (1 + Math.cos((phaseAngleDegrees * Math.PI) / 180)) / 2;
        expect(illuminatedFraction).toBeCloseTo(lit, 9);
        const fromElongation = (1 - Math.cos((elongationDegrees * Math.PI) / 180)) / 2;
        expect(Math.abs(illuminatedFraction - fromElongation)).toBeLessThan(0.01);
      }),
    );
  });
});

describe("the Moon's night", () => {
  test("has it on the horizon, upper edge and refraction counted, when it rises and sets", () => {
    const night = riseTransitSet("Moon", nightNamed("2026-11-25", "America/Chicago"), ternHollow);
    for (const unixMs of [night.riseUnixMs!, night.setUnixMs!])
      expect(horizontal("Moon", unixMs, ternHollow).altitudeDegrees).toBeCloseTo(
        -34 / 60 - moonSemidiameter(unixMs),
        3,
      );
  });

  test("in high latitudes may have it up all night, or not at all", () => {
    const arctic = siteAt(78.3, 15.4);
    const courses = new Set<string>();
    for (let day = 1; day <= 28; day++)
      courses.add(
        riseTransitSet("Moon", nightNamed(`2027-01-${String(day).padStart(2, "0")}`, "UTC"), arctic).course,
      );
    expect(courses).toEqual(new Set(["always-up", "never-up", "rises-and-sets"]));
  });

  test("follows the last by 50 minutes or so: a day now and then has no moonrise", () => {
    const rises = Array.from(
      { length: 30 },
      (_, day) =>
        riseTransitSet(
          "Moon",
          {
            date: "",
            startUnixMs: Date.UTC(2026, 10, 1, 18) + day * DAY,
            endUnixMs: Date.UTC(2026, 10, 2, 18) + day * DAY,
          },
          ternHollow,
        ).riseUnixMs,
    );
    expect(rises.filter((rise) => rise === null)).toHaveLength(1);
    const known = rises.filter((rise) => rise !== null);
    for (let index = 1; index < known.length; index++) {
      const gap = known[index]! - known[index - 1]!;
      expect(gap).toBeGreaterThan(DAY + 15 * MINUTE);
      expect(gap).toBeLessThan(DAY + 2 * HOUR);
    }
  });
});

describe("appearance", () => {
  test("of the Moon stays between 29.4′ and 33.6′ across", () => {
    for (let day = 0; day < 60; day++) {
      const { diameterArcseconds } = appearanceOf("Moon", Date.UTC(2026, 0, 1) + day * DAY);
      expect(diameterArcseconds / 60).toBeGreaterThan(29.3);
      expect(diameterArcseconds / 60).toBeLessThan(33.6);
    }
  });

  test("of Jupiter near opposition, 10 January 2026: magnitude −2.7, 46.6″ (almanac values, from memory)", () => {
    const { magnitude, diameterArcseconds } = appearanceOf("Jupiter", Date.UTC(2026, 0, 10));
    expect(magnitude).toBeCloseTo(-2.7, 1);
    expect(Math.abs(diameterArcseconds - 46.6)).toBeLessThan(0.3);
  });
});

test("the Moon passes the Sun closely at an eclipse: 12 August 2026, 17:46 UTC, within 1° as seen from the path", () => {
  expect(separationDegrees("Moon", "Sun", Date.UTC(2026, 7, 12, 17, 46), siteAt(65.2, -25.2))).toBeLessThan(
    0.05,
  );
});
