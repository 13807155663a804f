/** The library is asked in the right time scale and frame. */
import { expect, test } from "vitest";
import { geocentricOfDate, timeOf } from "../../src/sky/ephemeris.js";

test("terrestrial time is 69.184 s ahead of UTC", () => {
  for (const year of [2024, 2027, 2030]) {
    const time = timeOf(Date.UTC(year, 5, 1));
    expect((time.tt - time.ut) * 86_400).toBeCloseTo(69.184, 3);
  }
});

test("an instant is the library's own, to the millisecond", () => {
  expect(timeOf(Date.UTC(2026, 10, 25, 20, 15, 7, 123)).date.toISOString()).toBe("2026-11-25T20:15:07.123Z");
});

test("at the March equinox of 2026, 20 March 14:46 UTC, the Sun stands on the equinox of date", () => {
  const { y, z } = geocentricOfDate("Sun", Date.UTC(2026, 2, 20, 14, 46));
  expect(Math.abs(y)).toBeLessThan(2e-5);
  expect(Math.abs(z)).toBeLessThan(1e-5);
});
