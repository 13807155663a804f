/** The spread: the same night as the central run, with chance in it. */
import { describe, expect, it } from "vitest";
import { HOUR, MINUTE } from "../../src/base/units.js";
import { type Beliefs, priorBeliefs } from "../../src/forecast/learn/beliefs.js";
import type { NightInput } from "../../src/forecast/night-run.js";
import { packNight, unpackNight } from "../../src/forecast/packed-night.js";
import { playNight } from "../../src/forecast/play-night.js";
import { type StartRange, spreadOf } from "../../src/forecast/spread.js";
import { RULE_NAMES } from "../../src/queue/request.js";
import { certainBeliefs } from "./certain-beliefs.js";
import {
  bodies,
  emptyNight,
  fixedTarget,
  observatoryAt,
  randomNight,
  request,
  ternHollow,
} from "./random-night.js";
import { steadyClass } from "./steady-class.js";

const certain = certainBeliefs(ternHollow);
const prior = priorBeliefs(
  { arrivalsPerHour: 6, overheadScatter: 0.15, openMinutes: 240, closedMinutes: 20, failureFraction: 0.02 },
  ternHollow,
);
const OPTIONS = { runs: 400, seed: 1 };
const high = fixedTarget("high", 0, 42);
const low = fixedTarget("low", 40, 10);

/** Nine in the evening; the telescope is open, nothing is believed to go wrong. */
function evening(...waiting: NightInput["waiting"]): NightInput {
  const night = emptyNight("2026-11-25");
  return { ...night, nowUnixMs: night.nowUnixMs + 9 * HOUR, waiting };
}

const rangeOf = (night: NightInput, beliefs: Beliefs, number: number): StartRange =>
  spreadOf(night, beliefs, OPTIONS).ranges.get(number) as StartRange;
const median = (range: StartRange): number => range.medianUnixMs as number;
const width = ({ lowUnixMs, highUnixMs }: StartRange): number =>
  (highUnixMs as number) - (lowUnixMs as number);

describe("without anything uncertain", () => {
  it.each(RULE_NAMES)("every run under %s is the central run, to the millisecond", (rule) => {
    for (const observatory of [ternHollow, observatoryAt(-30, 20, "Africa/Johannesburg")])
      for (let seed = 1; seed <= 5; seed++) {
        const wish = { seed, date: "2026-11-25", requests: 120, targets: 30, rule, tiers: 2, observatory };
        expectCentral(randomNight(wish));
      }
  });

  it.each(["equatorial-fork", "german-equatorial", "altazimuth"] as const)(
    "the same with a %s mount, the tube beside its axis, planets and the Moon",
    (kind) => {
      for (const latitude of [42.5, -33]) {
        const { mount, dome, ...rest } = observatoryAt(latitude, 10, "UTC");
        const observatory = {
          ...rest,
          mount: { ...mount, kind },
          dome: dome && { ...dome, tubeOffsetMetres: 0.4 },
        };
        const wish = { seed: 2, date: "2026-11-25", requests: 60, targets: 20, observatory };
        const night = randomNight(wish);
        const others = bodies.map((target, index) => request(900 + index, target));
        expectCentral({ ...night, waiting: [...night.waiting, ...others] });
        expectCentral({ ...night, observatory: { ...observatory, dome: null } });
      }
    },
  );

  function expectCentral(night: NightInput): void {
    const { ranges } = spreadOf(night, certainBeliefs(night.observatory), { runs: 2, seed: 1 });
    const central = playNight(night);
    for (const { number, takenUnixMs } of central.turns)
      expect(ranges.get(number)).toMatchObject({
        number,
        medianUnixMs: takenUnixMs,
        lowUnixMs: takenUnixMs,
        highUnixMs: takenUnixMs,
        chanceTonight: 1,
      });
    for (const number of central.withoutTurn.keys()) expect(ranges.get(number)?.chanceTonight).toBe(0);
  }
});

describe("the spread", () => {
  const night = randomNight({ seed: 4, date: "2026-11-25", requests: 40, targets: 12 });

  it("is the same for the same seed, and another for another", () => {
    const starts = (seed: number) => [...spreadOf(night, prior, { runs: 20, seed }).starts];
    expect(starts(1)).toEqual(starts(1));
    expect(starts(1)).not.toEqual(starts(2));
  });

  it("plays each run alike, however many there are and whoever plays it", () => {
    const few = spreadOf(night, prior, { runs: 5, seed: 1 });
    const many = spreadOf(unpackNight(structuredClone(packNight(night))), prior, { runs: 9, seed: 1 });
    expect(many.numbers).toEqual(few.numbers);
    for (const [row] of few.numbers.entries())
      for (let run = 0; run < 5; run++) expect(many.starts[row * 9 + run]).toEqual(few.starts[row * 5 + run]);
  });

  it("follows a plan through nights in which every other attempt fails", () => {
    const planned = {
      ...randomNight({ seed: 4, date: "2026-11-25", requests: 80, targets: 12 }),
      rule: "planned",
    } as const;
    const { ranges } = spreadOf(planned, { ...prior, failureFraction: 0.5 }, { runs: 20, seed: 1 });
    const usual = spreadOf(planned, { ...prior, failureFraction: 0 }, { runs: 20, seed: 1 }).ranges;
    const chance = (of: typeof ranges): number =>
      [...of.values()].reduce((sum, { chanceTonight }) => sum + chanceTonight, 0);
    expect(chance(ranges)).toBeGreaterThan(0.5 * chance(usual));
  });

  it("holds the central 80 % of the starts, and counts the runs in which it starts tonight", () => {
    const { starts, ranges, numbers } = spreadOf(night, prior, OPTIONS);
    for (const [row, number] of numbers.entries()) {
      const range = ranges.get(number) as StartRange;
      const own = [...starts.subarray(row * OPTIONS.runs, (row + 1) * OPTIONS.runs)].filter(
        (start) => !Number.isNaN(start),
      );
      expect(range.chanceTonight).toBe(own.length / OPTIONS.runs);
      if (own.length === 0) continue;
      const share = (test: (start: number) => boolean): number => own.filter(test).length / own.length;
      const { lowUnixMs, medianUnixMs, highUnixMs } = range as {
        [Name in "lowUnixMs" | "medianUnixMs" | "highUnixMs"]: number;
      };
      for (const [at, value] of [
        [0.1, lowUnixMs],
        [0.5, medianUnixMs],
        [0.9, highUnixMs],
      ] as const) {
        expect(share((start) => start < value - 1)).toBeLessThanOrEqual(at + 1 / own.length);
        expect(share((start) => start <= value + 1)).toBeGreaterThanOrEqual(at - 1 / own.length);
      }
    }
  });

  it("is wider for those further back, and for machines less known", () => {
    const queue = evening(...Array.from({ length: 20 }, (_, index) => request(index + 1, high)));
    const { ranges } = spreadOf(queue, prior, OPTIONS);
    expect(width(ranges.get(20) as StartRange)).toBeGreaterThan(2 * width(ranges.get(3) as StartRange));
    const scattered = priorBeliefs(
      { arrivalsPerHour: 0, overheadScatter: 0.6, openMinutes: 240, closedMinutes: 0, failureFraction: 0 },
      ternHollow,
    );
    const even = { ...scattered, overheads: prior.overheads };
    expect(width(rangeOf(queue, scattered, 20))).toBeGreaterThan(width(rangeOf(queue, even, 20)));
  });

  it("puts off a low target when higher ones are still asked for, and not the other way round", () => {
    const arrivals: Beliefs["arrivals"] = {
      ...steadyClass(30, 12),
      targetMix: [{ target: high, weight: 1 }],
      requestShapes: [{ filter: "V", exposureSeconds: 60, frames: 2, tier: 1, owner: "someone" }],
    };
    const lows = Array.from({ length: 6 }, (_, index) => request(index + 1, low, { frames: 2 }));
    const overtaken = rangeOf(evening(...lows), { ...certain, arrivals }, 6);
    const undisturbed = rangeOf(evening(...lows), certain, 6);
    expect(median(overtaken)).toBeGreaterThan(median(undisturbed) + 20 * MINUTE);
    const towards = { ...arrivals, targetMix: [{ target: low, weight: 1 }] };
    const highs = lows.map((each) => ({ ...each, target: high }));
    expect(median(rangeOf(evening(...highs), { ...certain, arrivals: towards }, 6))).toBe(
      median(rangeOf(evening(...highs), certain, 6)),
    );
  });

  it("delays by about the share of the time that is closed", () => {
    const queue = evening(
      ...Array.from({ length: 40 }, (_, index) => request(index + 1, high, { frames: 4 })),
    );
    const interruptions = { ...certain.interruptions, openMeanMs: 20 * MINUTE, closedMeanMs: 20 * MINUTE };
    const clear = median(rangeOf(queue, certain, 40)) - queue.nowUnixMs;
    const cloudy = median(rangeOf(queue, { ...certain, interruptions }, 40)) - queue.nowUnixMs;
    expect(cloudy / clear).toBeGreaterThan(1.4);
    expect(cloudy / clear).toBeLessThan(2.4);
    const closed = { ...interruptions, openNow: false };
    const [first] = [...queue.waiting];
    const start = rangeOf(
      { ...queue, waiting: first ? [first] : [] },
      { ...certain, interruptions: closed },
      1,
    );
    expect(median(start) - queue.nowUnixMs).toBeGreaterThan(9 * MINUTE);
    expect(median(start) - queue.nowUnixMs).toBeLessThan(20 * MINUTE);
  });

  it("makes room for what fails and is done again", () => {
    const queue = evening(
      ...Array.from({ length: 40 }, (_, index) => request(index + 1, high, { frames: 2 })),
    );
    const once = median(rangeOf(queue, certain, 40)) - queue.nowUnixMs;
    const failing = median(rangeOf(queue, { ...certain, failureFraction: 0.3 }, 40)) - queue.nowUnixMs;
    expect(failing / once).toBeGreaterThan(1.25);
    expect(failing / once).toBeLessThan(1.65);
  });

  it("lets some ahead withdraw, but answers when one's own turn would come", () => {
    const queue = evening(
      ...Array.from({ length: 40 }, (_, index) => request(index + 1, high, { frames: 4 })),
    );
    const range = rangeOf(queue, { ...certain, withdrawalsPerHour: 0.5 }, 40);
    expect(range.chanceTonight).toBe(1);
    expect(median(range)).toBeLessThan(median(rangeOf(queue, certain, 40)) - 10 * MINUTE);
  });

  it('keeps to "not before", to windows that open later, and to holds with an end', () => {
    const later = evening().nowUnixMs + 3 * HOUR;
    const rising = fixedTarget("rising", 150, 20);
    const { ranges, numbers, starts } = spreadOf(
      evening(request(1, high, { notBeforeUnixMs: later }), request(2, rising)),
      prior,
      OPTIONS,
    );
    for (const [row, number] of numbers.entries())
      for (const start of starts.subarray(row * OPTIONS.runs, (row + 1) * OPTIONS.runs))
        if (number === 1 && !Number.isNaN(start)) expect(start).toBeGreaterThanOrEqual(later);
    const opens = playNight(evening(request(2, rising))).turns[0]?.takenUnixMs as number;
    expect(ranges.get(2)?.lowUnixMs).toBeGreaterThanOrEqual(opens);
    const holdUntilUnixMs = evening().nowUnixMs + 50 * MINUTE;
    const held = spreadOf({ ...evening(request(1, high)), holdUntilUnixMs }, prior, OPTIONS);
    expect(Math.min(...held.starts)).toBeGreaterThanOrEqual(holdUntilUnixMs);
  });

  it("gives those at the end of an overfull night a chance, neither none nor certainty", () => {
    const long = Array.from({ length: 30 }, (_, index) =>
      request(index + 1, index < 29 ? high : fixedTarget("other", 5, 41), {
        exposureSeconds: 300,
        frames: 6,
      }),
    );
    const { ranges } = spreadOf({ ...evening(...long), rule: "first-come" }, prior, OPTIONS);
    const chances = [...ranges.values()].map(({ chanceTonight }) => chanceTonight);
    expect(chances[0]).toBe(1);
    expect(Math.min(...chances)).toBeLessThan(0.05);
    expect(chances.some((chance) => chance > 0.2 && chance < 0.8)).toBe(true);
  });
});
