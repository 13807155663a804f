/** Ranges adapt until they are right as often as they say. */
import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { seededRandom } from "../../src/base/random.js";
import { HOUR, MINUTE } from "../../src/base/units.js";
import { type Calibration, freshCalibration, observe, widen } from "../../src/forecast/learn/calibration.js";

const NOW = 1_800_000_000_000;
const Z90 = 1.2816;

interface World {
  /** Standard deviation of the start about its forecast, in units of what the spread believes; and its bias. */
  readonly scale: number;
  readonly bias: number;
}

/** Forecasts and outcomes one after another; how often the last half of them fell into the range. */
function covered(world: (step: number) => World, steps: number, horizonMs: number): number {
  const { normal } = seededRandom(3);
  let calibration: Calibration = freshCalibration();
  let inside = 0;
  for (let step = 0; step < steps; step++) {
    const { scale, bias } = world(step);
    const median = NOW + horizonMs;
    const sd = horizonMs / 10;
    const low = median - Z90 * sd;
    const high = median + Z90 * sd;
    const given = widen(low, median, high, horizonMs, calibration);
    const actual = median + sd * (bias + scale * normal());
    if (step >= steps / 2 && given.low <= actual && actual <= given.high) inside++;
    calibration = observe(calibration, { low, median, high, actual, horizonMs, given });
  }
  return inside / Math.ceil(steps / 2);
}

describe("calibrated ranges", () => {
  it("are the spread's own while nothing has been observed", () => {
    const median = NOW + HOUR;
    const range = widen(median - 5 * MINUTE, median, median + 9 * MINUTE, HOUR, freshCalibration());
    expect(range).toEqual({ low: median - 5 * MINUTE, high: median + 9 * MINUTE });
  });

  it.each([
    ["right", { scale: 1, bias: 0 }],
    ["half as wide as they should be", { scale: 2, bias: 0 }],
    ["three times as wide", { scale: 1 / 3, bias: 0 }],
    ["biased early", { scale: 1, bias: 0.8 }],
    ["biased late", { scale: 1, bias: -0.8 }],
  ])("come to hold four in five starts where the spread is %s", (_, world) => {
    for (const horizonMs of [10 * MINUTE, 40 * MINUTE, 3 * HOUR])
      expect(Math.abs(covered(() => world, 1_000, horizonMs) - 0.8)).toBeLessThan(0.04);
  });

  it("follow a world that changes half-way", () => {
    const change = (step: number): World => ({ scale: step < 500 ? 0.5 : 2, bias: 0 });
    expect(covered(change, 1_000, HOUR)).toBeGreaterThan(0.72);
  });

  it("learn at one horizon without touching the others", () => {
    const outcome = { low: NOW, median: NOW + MINUTE, high: NOW + 2 * MINUTE, actual: NOW + HOUR };
    const before = freshCalibration();
    const after = observe(before, { ...outcome, horizonMs: 20 * MINUTE });
    expect([after[0], after[2]]).toEqual([before[0], before[2]]);
    expect(after[1]).not.toEqual(before[1]);
  });

  it("are never narrower than a minute, contain the median, and survive any outcome", () => {
    fc.assert(
      fc.property(
        fc.array(fc.tuple(fc.integer({ min: -3, max: 3 }), fc.integer({ min: 0, max: 100 })), {
          maxLength: 80,
        }),
        fc.integer({ min: 0, max: 100 }),
        fc.integer({ min: 0, max: 100 }),
        (outcomes, below, above) => {
          let calibration = freshCalibration();
          const median = NOW + HOUR;
          for (const [side, minutes] of outcomes) {
            const actual = median + side * minutes * MINUTE;
            const [low, high] = [median - below * 1_000, median + above * 1_000];
            calibration = observe(calibration, { low, median, high, actual, horizonMs: HOUR });
          }
          const { low, high } = widen(
            median - below * 1_000,
            median,
            median + above * 1_000,
            HOUR,
            calibration,
          );
          expect(high - low).toBeGreaterThanOrEqual(MINUTE);
          expect(low).toBeLessThanOrEqual(median);
          expect(high).toBeGreaterThanOrEqual(median);
          expect(Number.isFinite(low) && Number.isFinite(high)).toBe(true);
        },
      ),
    );
  });

  it("are plain data: what the journal keeps gives the same ranges again", () => {
    let calibration = freshCalibration();
    for (let step = 1; step < 40; step++) {
      const actual = NOW + HOUR + (step % 7) * MINUTE;
      const outcome = { low: NOW + HOUR - MINUTE, median: NOW + HOUR, high: NOW + HOUR + MINUTE, actual };
      calibration = observe(calibration, { ...outcome, horizonMs: HOUR });
    }
    const kept = JSON.parse(JSON.stringify(calibration)) as Calibration;
    expect(widen(NOW, NOW + HOUR, NOW + 2 * HOUR, HOUR, kept)).toEqual(
      widen(NOW, NOW + HOUR, NOW + 2 * HOUR, HOUR, calibration),
    );
  });
});
