/** Ranges and chances are drawn from how past ones fared, night by night. */
import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { seededRandom } from "../../src/base/random.js";
import { HOUR, MINUTE } from "../../src/base/units.js";
import {
  type Calibration,
  type ChanceOutcome,
  endsFor,
  freshCalibration,
  LEVELS,
  levelOf,
  observe,
  startAt,
} from "../../src/forecast/learn/calibration.js";
import { chanceFor } from "../../src/forecast/learn/chance-calibration.js";

const NOW = 1_800_000_000_000;
/** A spread whose starts are even from one hour ahead to two. */
const even = LEVELS.map((level) => NOW + HOUR + level * HOUR);
const dateOf = (night: number): string => `2026-${String(night + 1000).slice(1)}`;

describe("a start's level within its spread", () => {
  it("and the start at a level undo one another, also beyond the outermost quantiles", () => {
    fc.assert(
      fc.property(fc.integer({ min: 0, max: 1_000 }), (thousandth) => {
        const level = thousandth / 1_000;
        expect(levelOf(even, startAt(even, level))).toBeCloseTo(level, 3);
      }),
    );
    expect([levelOf(even, NOW - 9 * HOUR), levelOf(even, NOW + 90 * HOUR)]).toEqual([0, 1]);
  });

  it("is in the middle of the quantiles that it is equal to", () => {
    const waiting = LEVELS.map((level) => NOW + Math.max(0, level - 0.6) * HOUR);
    expect(levelOf(waiting, NOW)).toBeCloseTo((0.02 + 0.6) / 2, 6);
  });
});

/** Starts of one night after another, whose level is drawn by chance; how often the later half fell inside the ends. */
function covered(level: (normal: () => number) => number, perNight: number): number {
  const { normal } = seededRandom(3);
  let calibration = freshCalibration();
  const inside: boolean[] = [];
  for (let night = 0; night < 120; night++) {
    const ends = endsFor(calibration, dateOf(night), HOUR);
    const levels = Array.from({ length: perNight }, () => level(normal));
    inside.push(...levels.map((each) => ends.low <= each && each <= ends.high));
    calibration = observe(
      calibration,
      dateOf(night),
      levels.map((each) => ({ level: each, horizonMs: HOUR })),
      [],
    );
  }
  const late = inside.slice(inside.length / 2);
  return late.filter(Boolean).length / late.length;
}

const logistic = (x: number): number => 1 / (1 + Math.exp(-1.7 * x));

describe("the ends of a range", () => {
  it("are a little wider than the spread's 80 % while no night has been seen", () => {
    expect(endsFor(freshCalibration(), null, HOUR)).toEqual({
      low: expect.closeTo(0.06, 4),
      high: expect.closeTo(0.94, 4),
    });
  });

  it.each([
    ["right", (normal: () => number) => logistic(normal())],
    ["a third too narrow", (normal: () => number) => logistic(1.5 * normal())],
    ["twice as wide as it should be", (normal: () => number) => logistic(0.5 * normal())],
    ["early", (normal: () => number) => logistic(normal() + 0.6)],
  ])("come to hold four in five starts where the spread is %s", (_, level) => {
    expect(Math.abs(covered(level, 12) - 0.8)).toBeLessThan(0.05);
  });

  it("count a night of many starts no more than a night of few", () => {
    const level = (value: number, count: number) =>
      Array.from({ length: count }, () => ({ level: value, horizonMs: HOUR }));
    const many = observe(freshCalibration(), dateOf(1), level(0.99, 60), []);
    const few = observe(freshCalibration(), dateOf(1), level(0.99, 6), []);
    expect(endsFor(many, dateOf(2), HOUR)).toEqual(endsFor(few, dateOf(2), HOUR));
  });

  it("learn nothing from the night that still goes on, and less from other horizons", () => {
    const seen = observe(
      freshCalibration(),
      dateOf(1),
      new Array(9).fill({ level: 0.99, horizonMs: HOUR }),
      [],
    );
    expect(endsFor(seen, dateOf(1), HOUR)).toEqual(endsFor(freshCalibration(), null, HOUR));
    const own = endsFor(seen, dateOf(2), HOUR).high;
    const other = endsFor(seen, dateOf(2), 5 * MINUTE).high;
    expect(own).toBeGreaterThan(other);
    expect(other).toBeGreaterThan(endsFor(freshCalibration(), null, HOUR).high - 0.02);
  });

  it("follow whatever comes without leaving the scale, as plain data", () => {
    fc.assert(
      fc.property(fc.array(fc.tuple(fc.nat(40), fc.nat(1_000)), { maxLength: 60 }), (outcomes) => {
        const calibration = outcomes.reduce<Calibration>(
          (so, [night, level]) => observe(so, dateOf(night), [{ level: level / 1_000, horizonMs: HOUR }], []),
          freshCalibration(),
        );
        const { low, high } = endsFor(calibration, null, HOUR);
        expect(low).toBeGreaterThanOrEqual(0);
        expect(low).toBeLessThanOrEqual(0.5);
        expect(high).toBeGreaterThanOrEqual(0.5);
        expect(high).toBeLessThanOrEqual(1);
        const kept = JSON.parse(JSON.stringify(calibration)) as Calibration;
        expect(endsFor(kept, null, HOUR)).toEqual({ low, high });
      }),
    );
  });

  it("still learn from what earlier versions journalled: a range, and what came", () => {
    const old = { low: NOW, median: NOW + HOUR, high: NOW + 2 * HOUR, horizonMs: HOUR };
    const [night] = observe(freshCalibration(), dateOf(1), [{ ...old, actual: NOW + 2 * HOUR }], []);
    expect(night?.levels).toEqual([[], [], [expect.closeTo(0.9, 6)]]);
  });
});

/** Nights of twenty chances each, all said alike, of which a share comes. */
function nightsOf(count: number, said: number, share: number, held = false): Calibration {
  const chances = Array.from(
    { length: 20 },
    (_, each): ChanceOutcome => ({ said, held, came: each < 20 * share }),
  );
  return Array.from({ length: count }, (_, night) => night).reduce<Calibration>(
    (so, night) => observe(so, dateOf(night), [], chances),
    freshCalibration(),
  );
}

describe("a chance", () => {
  it("is the spread's own while nothing has been seen", () => {
    expect(chanceFor(freshCalibration(), null, 0.37, false)).toBe(0.37);
  });

  it("comes to be what comes of it: where one in three was said and two in three ran, and the other way round", () => {
    expect(chanceFor(nightsOf(60, 0.3, 0.7), null, 0.3, false)).toBeGreaterThan(0.6);
    expect(chanceFor(nightsOf(60, 0.94, 0.3), null, 0.94, false)).toBeLessThan(0.45);
  });

  it("is bent little by one night, and not at all by the one that goes on", () => {
    const one = nightsOf(1, 0.5, 1);
    expect(chanceFor(one, null, 0.5, false)).toBeLessThan(0.65);
    expect(chanceFor(one, dateOf(0), 0.5, false)).toBe(0.5);
  });

  it("said under a hold is judged by those that were said under a hold", () => {
    const held = nightsOf(40, 0.9, 0.3, true);
    expect(chanceFor(held, null, 0.9, true)).toBeLessThan(0.5);
    expect(chanceFor(held, null, 0.9, false)).toBe(0.9);
  });

  it("grows with the spread's own, whatever was seen", () => {
    for (const seen of [nightsOf(30, 0.9, 0.1), nightsOf(30, 0.1, 0.9), nightsOf(5, 0.5, 0.5)])
      for (let tenth = 1; tenth < 10; tenth++)
        expect(chanceFor(seen, null, (tenth + 1) / 10, false)).toBeGreaterThanOrEqual(
          chanceFor(seen, null, tenth / 10, false),
        );
  });
});
