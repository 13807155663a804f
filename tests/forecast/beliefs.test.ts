/** What is learned from measured times: followed quickly, never fooled by one absurd value. */
import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { seededRandom } from "../../src/base/random.js";
import { HOUR, MINUTE } from "../../src/base/units.js";
import {
  type ArrivalBelief,
  factorsOf,
  type MeasuredTime,
  priorBeliefs,
} from "../../src/forecast/learn/beliefs.js";
import { EMPTY_TALLY, type Experience } from "../../src/forecast/learn/experience.js";
import { learnBeliefs } from "../../src/forecast/learn/learn-beliefs.js";
import { learnOverheads } from "../../src/forecast/learn/learn-overheads.js";
import { CONFIGURED_OVERHEADS } from "../../src/observatory/observatory.js";
import type { Request } from "../../src/queue/request.js";
import { nightNamed } from "../../src/sky/night.js";
import { fixedTarget, request, ternHollow } from "./random-night.js";

const settings = {
  arrivalsPerHour: 6,
  overheadScatter: 0.15,
  openMinutes: 240,
  closedMinutes: 20,
  failureFraction: 0.02,
};
const prior = priorBeliefs(settings, ternHollow);
const night = nightNamed("2026-11-25", ternHollow.site.timeZone);

/** Dome times as so many multiples of what was configured, oldest first. */
const dome = (...multiples: readonly number[]): MeasuredTime[] =>
  multiples.map((multiple, index) => {
    const configuredMs = 4_000 + ((index * 7_919) % 40_000);
    return { component: "dome", configuredMs, measuredMs: Math.round(configuredMs * multiple) };
  });
const domeFactor = (samples: readonly MeasuredTime[]): number =>
  factorsOf({ ...prior, overheads: learnOverheads(samples, prior.overheads) }).dome;
const repeated = (multiple: number, times: number): number[] => new Array(times).fill(multiple);

describe("learned overheads", () => {
  it("are the configured times until something is measured", () => {
    expect(factorsOf({ ...prior, overheads: learnOverheads([], prior.overheads) })).toEqual(
      CONFIGURED_OVERHEADS,
    );
  });

  it("stay exactly 1, for every part, where every measurement is as configured", () => {
    fc.assert(
      fc.property(fc.array(fc.integer({ min: 1, max: 600_000 }), { maxLength: 60 }), (times) => {
        const parts = ["slew", "dome", "filter", "settle", "handOver", "readOut", "shutter"] as const;
        const samples = times.map((ms, index) => ({
          component: parts[index % parts.length] as (typeof parts)[number],
          configuredMs: ms,
          measuredMs: ms,
        }));
        const overheads = learnOverheads(samples, prior.overheads);
        expect(factorsOf({ ...prior, overheads })).toEqual(CONFIGURED_OVERHEADS);
      }),
    );
  });

  it("find a dome that has been 1.4 × slower all along after five moves", () => {
    expect(domeFactor(dome(...repeated(1.4, 5)))).toBeCloseTo(1.4, 3);
  });

  it("follow a dome that slows in mid-night within five requests, however long it ran well", () => {
    for (const before of [5, 20, 100, 190])
      expect(domeFactor(dome(...repeated(1, before), ...repeated(1.6, 5))), `${before}`).toBeCloseTo(1.6, 2);
  });

  it("follow it within five requests under the usual scatter too, nearly always", () => {
    let near = 0;
    for (let seed = 1; seed <= 200; seed++) {
      const { normal } = seededRandom(seed);
      const noisy = (multiple: number): number => multiple * Math.exp(0.12 * normal());
      const samples = dome(
        ...Array.from({ length: 40 }, () => noisy(1)),
        ...Array.from({ length: 5 }, () => noisy(1.8)),
      );
      if (domeFactor(samples) > 1.55 && domeFactor(samples) < 2.1) near++;
    }
    expect(near).toBeGreaterThan(190);
  });

  it("come back when the dome does", () => {
    expect(domeFactor(dome(...repeated(1, 30), ...repeated(1.6, 30), ...repeated(1, 5)))).toBeCloseTo(1, 2);
  });

  it("are not moved by one absurd value, wherever it comes", () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 0, max: 30 }),
        fc.integer({ min: 0, max: 30 }),
        fc.constantFrom(0.0001, 30, 1_000, 100_000),
        (before, after, absurd) => {
          const factor = domeFactor(dome(...repeated(1.2, before), absurd, ...repeated(1.2, after)));
          const without = domeFactor(dome(...repeated(1.2, before + after)));
          expect(Math.abs(Math.log(factor / without))).toBeLessThan(Math.log(1.25));
          if (before + after >= 4) expect(factor).toBeCloseTo(1.2, 2);
        },
      ),
    );
  });

  it("ignore what cannot be: nothing, less than nothing, no number", () => {
    const odd = [0, -5, Number.NaN, Number.POSITIVE_INFINITY].flatMap((ms): MeasuredTime[] => [
      { component: "dome", configuredMs: ms, measuredMs: 5_000 },
      { component: "dome", configuredMs: 5_000, measuredMs: ms },
    ]);
    const factor = domeFactor([...odd, ...dome(...repeated(1.3, 6))]);
    expect(factor).toBeCloseTo(1.3, 2);
  });

  it("let parts that were never measured alone follow the whole", () => {
    const samples: MeasuredTime[] = repeated(1.25, 8).map((multiple) => ({
      component: "total",
      configuredMs: 40_000,
      measuredMs: 40_000 * multiple,
    }));
    const factors = factorsOf({ ...prior, overheads: learnOverheads(samples, prior.overheads) });
    for (const factor of Object.values(factors)) expect(factor).toBeCloseTo(1.25, 3);
  });

  it("grow surer, and their scatter becomes that of the measurements", () => {
    const { normal } = seededRandom(5);
    const samples = dome(...Array.from({ length: 150 }, () => Math.exp(0.3 * normal())));
    const { logSd, logMeanSd } = learnOverheads(samples, prior.overheads).components.dome;
    expect(logSd).toBeGreaterThan(0.24);
    expect(logSd).toBeLessThan(0.36);
    expect(logMeanSd).toBeLessThan(prior.overheads.components.dome.logMeanSd);
  });

  it("do not take the slow moves before a repair for moves that stuck", () => {
    const repaired = learnOverheads(dome(...repeated(3, 26), ...repeated(1, 20)), prior.overheads);
    expect(repaired.stuck).toEqual(prior.overheads.stuck);
    expect(repaired.components.dome.logMean).toBeCloseTo(0, 2);
  });

  it("count sticking from the second time on, not the first", () => {
    const stuck = (count: number) =>
      learnOverheads(dome(...repeated(1, 30), ...repeated(20, count), ...repeated(1, 10)), prior.overheads)
        .stuck;
    expect(stuck(1)).toEqual(prior.overheads.stuck);
    expect(stuck(3).chancePerAction).toBeGreaterThan(prior.overheads.stuck.chancePerAction);
    expect(stuck(3).meanExtraMs).toBeGreaterThan(prior.overheads.stuck.meanExtraMs);
  });
});

const evening = night.startUnixMs + 9 * HOUR;
const target = fixedTarget("M31", 10, 41);
const experience = (changes: Partial<Experience>): Experience => ({
  observatory: ternHollow,
  nowUnixMs: evening,
  night,
  measured: [],
  requests: [],
  tally: EMPTY_TALLY,
  tallyBefore: EMPTY_TALLY,
  heldSinceUnixMs: null,
  ...changes,
});

describe("learned habits of the class and the sky", () => {
  /** Mean number of requests still to come tonight. */
  const toCome = ({ stories }: ArrivalBelief, untilHours = 24): number => {
    const ahead = stories.map(({ groups, scale, weight }) => ({
      weight,
      count:
        scale *
        groups.flatMap(({ aheadMs }) => aheadMs).filter((ms) => ms > 0 && ms < untilHours * HOUR).length,
    }));
    return (
      ahead.reduce((sum, { count, weight }) => sum + weight * count, 0) /
      ahead.reduce((sum, { weight }) => sum + weight, 0)
    );
  };
  const arrivalsAfter = (requests: readonly Request[]) =>
    learnBeliefs(prior, experience({ requests })).arrivals;
  /** A class of so many that asks within the hour after nine, so many days ago. */
  const classOf = (count: number, daysAgo: number, firstNumber: number): Request[] =>
    Array.from({ length: count }, (_, index) =>
      request(firstNumber + index, target, {
        exposureSeconds: 77,
        askedUnixMs: evening - daysAgo * 24 * HOUR + ((index + 1) * HOUR) / (count + 1),
      }),
    );

  it("expect more to come on a busy evening, and fewer on a quiet one", () => {
    const busy = Array.from({ length: 40 }, (_, index) =>
      request(index + 1, target, { askedUnixMs: evening - (40 - index) * 3 * MINUTE }),
    );
    expect(toCome(arrivalsAfter(busy))).toBeGreaterThan(1.3 * toCome(arrivalsAfter([])));
  });

  it("allow a new site a class far above the configured rate", () => {
    const { stories } = learnBeliefs(prior, experience({ nowUnixMs: night.startUnixMs + 6 * HOUR })).arrivals;
    const most = Math.max(...stories.map(({ groups }) => groups.flatMap(({ aheadMs }) => aheadMs).length));
    expect(most).toBeGreaterThan(3 * 40);
  });

  it("expect tonight what came on earlier nights at this hour, by the clock or by dusk", () => {
    const nights = Array.from({ length: 12 }, (_, index) => classOf(30, 12 - index, 1 + 30 * index)).flat();
    const arrivals = arrivalsAfter(nights);
    expect(toCome(arrivals, 1.2)).toBeGreaterThan(15);
    expect(toCome(arrivals) - toCome(arrivals, 2.5)).toBeLessThan(6);
    expect(arrivals.requestShapes.every((shape) => shape.exposureSeconds === 77)).toBe(true);
  });

  it("take a burst under way for one that goes on as bursts did, not for a rate", () => {
    const nights = [3, 2, 1].flatMap((days) =>
      Array.from({ length: 20 }, (_, index) =>
        request(20 * days + index, target, {
          askedUnixMs: evening - days * 24 * HOUR - 2 * HOUR + index * 20_000,
        }),
      ),
    );
    const begun = Array.from({ length: 10 }, (_, index) =>
      request(900 + index, target, { askedUnixMs: evening - (9 - index) * 20_000 }),
    );
    const { stories } = arrivalsAfter([...nights, ...begun]);
    const rest = stories.map(({ groups }) => groups.at(-1)?.aheadMs.length ?? 0);
    expect(rest.filter((count) => count === 10).length).toBeGreaterThan(rest.length / 4);
    expect(Math.max(...rest)).toBeLessThan(40);
  });

  it("put the weight on targets asked for tonight, with a little left for others", () => {
    const requests = Array.from({ length: 20 }, (_, index) =>
      request(index + 1, target, { askedUnixMs: evening - MINUTE }),
    );
    const { targetMix } = learnBeliefs(prior, experience({ requests })).arrivals;
    const all = targetMix.reduce((sum, { weight }) => sum + weight, 0);
    expect(targetMix[0]?.target.id).toBe("M31");
    expect((targetMix[0]?.weight ?? 0) / all).toBeCloseTo(20 / 23, 2);
  });

  it("find how often and how long the sky closes", () => {
    const tally = { ...EMPTY_TALLY, workedMs: 20 * HOUR, holds: 18, heldMs: 18 * 45 * MINUTE };
    const { interruptions } = learnBeliefs(prior, experience({ tally, tallyBefore: tally }));
    expect(interruptions.openMeanMs / MINUTE).toBeCloseTo((2 * 240 + 1_200) / 20, 6);
    const { closedMeanMs, closedShape } = interruptions;
    // Mean of 1/rate for a gamma-distributed rate.
    const meanLengthMs = (closedMeanMs * closedShape) / (closedShape - 1);
    expect(meanLengthMs / MINUTE).toBeCloseTo((2 * 20 + 18 * 45) / 20, 6);
  });

  it("take tonight's holds as a sign of the kind of night, more than those of other nights", () => {
    const holds = { ...EMPTY_TALLY, workedMs: 4 * HOUR, holds: 8, heldMs: 8 * 20 * MINUTE };
    const tonight = learnBeliefs(prior, experience({ tally: holds })).interruptions;
    const earlier = learnBeliefs(prior, experience({ tally: holds, tallyBefore: holds })).interruptions;
    expect(tonight.openMeanMs).toBeLessThan(0.8 * earlier.openMeanMs);
    expect(tonight.openShape).toBeGreaterThan(earlier.openShape);
    const quiet = { ...EMPTY_TALLY, workedMs: 6 * HOUR };
    expect(learnBeliefs(prior, experience({ tally: quiet })).interruptions.openMeanMs).toBeGreaterThan(
      1.5 * prior.interruptions.openMeanMs,
    );
  });

  it("expect a hold to stay the longer, the longer it has stood", () => {
    const closedAfter = (minutes: number): number =>
      learnBeliefs(prior, experience({ heldSinceUnixMs: evening - minutes * MINUTE })).interruptions
        .closedMeanMs;
    expect(closedAfter(0)).toBeLessThan(closedAfter(30));
    expect(closedAfter(120)).toBeGreaterThan(2 * closedAfter(0));
    expect(closedAfter(24 * 60)).toBe(closedAfter(4 * 60));
  });

  it("believe a hold to be for good the more, the longer it stands, where such nights have been seen", () => {
    const chance = (minutes: number, holdsForGood: number): number => {
      const tallyBefore = { ...EMPTY_TALLY, holds: 6, longHolds: 6, heldMs: 2 * HOUR, holdsForGood };
      const heldSinceUnixMs = evening - minutes * MINUTE;
      return learnBeliefs(prior, experience({ tally: tallyBefore, tallyBefore, heldSinceUnixMs }))
        .interruptions.standsForGood;
    };
    expect(chance(0, 0)).toBeLessThan(0.02);
    expect(chance(90, 2)).toBeGreaterThan(0.75);
    expect(chance(20, 2)).toBeLessThan(chance(60, 2));
    expect(chance(60, 0)).toBeLessThan(chance(60, 2));
  });

  it("find what fails and what is withdrawn", () => {
    const tally = { ...EMPTY_TALLY, recentAttempts: 150, recentFailures: 19 };
    const requests = Array.from({ length: 20 }, (_, index) =>
      request(index + 1, target, {
        askedUnixMs: evening - 2 * HOUR,
        state: index < 10 ? "withdrawn" : "waiting",
        endedUnixMs: index < 10 ? evening - HOUR : null,
      }),
    );
    const beliefs = learnBeliefs(prior, experience({ tally, requests }));
    expect(beliefs.failureFraction).toBeCloseTo((1 + 19) / 200, 9);
    expect(beliefs.withdrawalsPerHour).toBeCloseTo((0.05 * 20 + 10) / (20 + 30), 9);
  });
});
