/** The interval score, against its own theory; whom it is compared with. */
import { describe, expect, it } from "vitest";
import { MINUTE } from "../../../src/base/units.js";
import type { Answer, Judged } from "../../../src/tools/backtest/question.js";
import { reliabilityOf } from "../../../src/tools/backtest/reliability.js";
import { cameOf, intervalScore, sharpnessOf } from "../../../src/tools/backtest/sharpness.js";

const NOW = 1_000 * MINUTE;
const range = (low: number, high: number, median = (low + high) / 2) => ({
  lowUnixMs: low,
  medianUnixMs: median,
  highUnixMs: high,
});

/** Quantiles of the standard normal distribution at even levels, by bisection of Φ (Abramowitz & Stegun 26.2.17). */
const normal = Array.from({ length: 4_000 }, (_, index) => quantile((index + 0.5) / 4_000));

function quantile(level: number): number {
  let [low, high] = [-8, 8];
  for (let step = 0; step < 50; step++) {
    const middle = (low + high) / 2;
    if (distribution(middle) < level) low = middle;
    else high = middle;
  }
  return low;
}

function distribution(x: number): number {
  const t = 1 / (1 + 0.2316419 * Math.abs(x));
  const series =
    t * (0.31938153 + t * (-0.356563782 + t * (1.781477937 + t * (-1.821255978 + t * 1.330274429))));
  const tail = (Math.exp((-x * x) / 2) / Math.sqrt(2 * Math.PI)) * series;
  return x > 0 ? 1 - tail : tail;
}

describe("the interval score", () => {
  it("is the width, and ten times what a start lies outside", () => {
    expect(intervalScore(range(10, 30), 20)).toBe(20);
    expect(intervalScore(range(10, 30), 10)).toBe(20);
    expect(intervalScore(range(10, 30), 7)).toBe(20 + 10 * 3);
    expect(intervalScore(range(10, 30), 34)).toBe(20 + 10 * 4);
  });

  // T. Gneiting & A. E. Raftery 2007, JASA 102, 359: the score is proper. For a normal start the true central 1 − α has
  // the expectation 4 φ(z) / α, by integrating eq. 43; with α = 0.2, z = 1.28155, φ(z) = 0.175498: 3.50997.
  it("is least in the mean for the true range of a normal start, where it is 4 φ(z) / α", () => {
    const expected = (low: number, high: number): number =>
      normal.reduce((sum, each) => sum + intervalScore(range(low, high), each), 0) / normal.length;
    const best = expected(-1.28155, 1.28155);
    expect(best).toBeCloseTo(3.50997, 2);
    for (const [low, high] of [
      [-1.1, 1.28155],
      [-1.5, 1.28155],
      [-1.28155, 1],
      [-1.28155, 1.6],
      [-2, 2],
      [-1.08, 1.48],
    ] as const)
      expect(expected(low, high)).toBeGreaterThan(best);
  });
});

function judged(
  night: string,
  startMinutes: number,
  changes: Partial<Judged & Pick<Answer, "usual" | "chanceTonight" | "held">> = {},
): Judged {
  const { oracle, usual = null, chanceTonight = 1, held = false, fact } = changes;
  const at = (low: number, high: number) => range(NOW + low * MINUTE, NOW + high * MINUTE);
  const answer: Answer = {
    ...{ number: 1, questionUnixMs: NOW, start: at(10, 30), onHold: false, held, shownIn: "when", night },
    ...{ chanceTonight, usual },
    plain: { queueLengthTimesMeanService: NOW, lastServedWait: NOW, headOfLineWait: NOW },
  };
  return {
    answer,
    fact: fact ?? { came: "started", startUnixMs: NOW + startMinutes * MINUTE },
    ...(oracle === undefined ? {} : { oracle }),
  };
}

describe("against others", () => {
  it("both are scored on the same answers only, and each night of twenty counts once in the median", () => {
    const narrow = range(NOW + 15 * MINUTE, NOW + 25 * MINUTE);
    const wide = range(NOW, NOW + 80 * MINUTE);
    const nights = [
      ...Array.from({ length: 20 }, () => judged("one", 20, { oracle: narrow })),
      ...Array.from({ length: 60 }, () => judged("two", 20, { oracle: wide })),
      ...Array.from({ length: 19 }, () => judged("short", 20, { oracle: narrow })),
      ...Array.from({ length: 30 }, () => judged("unasked", 500)),
    ];
    const { oracle } = sharpnessOf(nights.flatMap((each) => cameOf(each) ?? []));
    expect(oracle.answers).toBe(99);
    expect(oracle.ratio).toBeCloseTo((20 * 99) / (10 * 39 + 80 * 60), 10);
    expect([oracle.nights, oracle.nightlyRatio]).toEqual([2, (2 + 0.25) / 2]);
  });
});

describe("reliability", () => {
  it("judges a bin of many answers from many nights, each night as one event", () => {
    const nights = (came: (night: number) => boolean): Judged[] =>
      Array.from({ length: 40 }, (_, night) => night).flatMap((night) =>
        Array.from({ length: 12 }, () =>
          judged(`${night}`, 20, {
            chanceTonight: 0.5,
            ...(came(night) ? {} : { fact: { came: "not tonight" } }),
          }),
        ),
      );
    const [fair] = reliabilityOf(nights((night) => night % 2 === 0)).open;
    expect(fair).toMatchObject({ answers: 480, nights: 40, said: 0.5, came: 0.5, kept: true });
    // By answers the share would be known to within 5 points; by nights to within 15.
    expect((fair?.high ?? 0) - (fair?.low ?? 0)).toBeGreaterThan(0.2);
    expect(reliabilityOf(nights((night) => night % 10 === 0)).open[0]?.kept).toBe(false);
    expect(reliabilityOf(nights(() => true).slice(0, 300)).open[0]?.kept).toBeNull();
  });

  it("keeps answers under a hold apart", () => {
    const { open, held } = reliabilityOf([
      judged("one", 20),
      judged("one", 20, { held: true, chanceTonight: 0.2 }),
    ]);
    expect([open.length, held.length, held[0]?.said]).toEqual([1, 1, 0.2]);
  });
});
