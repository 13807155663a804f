/** One search for all crossings: none is missed and each is within a millisecond. */
import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { HOUR, MINUTE } from "../../src/base/units.js";
import { crossingsOf, whileNotNegative } from "../../src/sky/search.js";

describe("crossings", () => {
  test("of a wave are all found, within a millisecond", () => {
    fc.assert(
      fc.property(
        fc.double({ min: 0, max: 6.28, noNaN: true }),
        fc.double({ min: -0.95, max: 0.95, noNaN: true }),
        (phase, level) => {
          const at = (t: number): number => Math.sin((t / (24 * HOUR)) * 2 * Math.PI + phase) - level;
          const found = crossingsOf({ at, stepMs: HOUR }, 0, 24 * HOUR);
          // A crossing on either end may be counted or not.
          expect(found.length).toBeGreaterThanOrEqual(1);
          for (const { unixMs, rising } of found) {
            expect(at(unixMs - 2) < 0).toBe(rising);
            expect(at(unixMs + 2) < 0).toBe(!rising);
          }
        },
      ),
    );
  });

  test("of a hump that reaches over zero for one minute between two looks an hour apart are both found", () => {
    const top = 5.3 * HOUR;
    const at = (t: number): number => MINUTE ** 2 / 4 - (t - top) ** 2;
    const found = crossingsOf({ at, stepMs: HOUR }, 0, 10 * HOUR);
    expect(found.map(({ rising }) => rising)).toEqual([true, false]);
    expect(found[1]!.unixMs - found[0]!.unixMs).toBeCloseTo(MINUTE, -1);
  });

  test("of a hump next to the range's end are found too", () => {
    const top = 9.98 * HOUR;
    const at = (t: number): number => MINUTE ** 2 / 4 - (t - top) ** 2;
    expect(crossingsOf({ at, stepMs: HOUR }, 0, 10 * HOUR)).toHaveLength(2);
  });

  test("of a jump are placed at the jump", () => {
    const jump = 1_234_567;
    const found = crossingsOf({ at: (t) => (t < jump ? -50 : 0.001), stepMs: HOUR }, 0, 2 * HOUR);
    expect(found).toHaveLength(1);
    expect(Math.abs(found[0]!.unixMs - jump)).toBeLessThanOrEqual(1);
  });

  test("of a notch as narrow as its marks tell are found", () => {
    const at = (t: number): number => (t > 7_000_000 && t < 7_000_900 ? -1 : 1);
    const marks = [7_000_000, 7_000_450, 7_000_900];
    expect(crossingsOf({ at, stepMs: HOUR, marks }, 0, 4 * HOUR)).toHaveLength(2);
  });
});

describe("stretches without a negative value", () => {
  test("cover all of a range that never dips, and nothing of one that never rises", () => {
    expect(whileNotNegative({ at: () => 1, stepMs: HOUR }, 5, 10)).toEqual([
      { openUnixMs: 5, closeUnixMs: 10 },
    ]);
    expect(whileNotNegative({ at: () => -1, stepMs: HOUR }, 5, 10)).toEqual([]);
  });

  test("lie on the side that is not negative, at both ends", () => {
    const at = (t: number): number => Math.sin(t / HOUR);
    for (const { openUnixMs, closeUnixMs } of whileNotNegative({ at, stepMs: HOUR / 2 }, HOUR, 20 * HOUR)) {
      expect(at(openUnixMs)).toBeGreaterThanOrEqual(0);
      expect(at(closeUnixMs)).toBeGreaterThanOrEqual(0);
    }
  });
});
