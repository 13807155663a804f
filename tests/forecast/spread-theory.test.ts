/** The spread against closed forms: one target that is always up, and one thing at a time uncertain. */
import { deviation, mean } from "d3-array";
import { describe, expect, it } from "vitest";
import { HOUR, MINUTE, SECOND } from "../../src/base/units.js";
import type { Beliefs } from "../../src/forecast/learn/beliefs.js";
import { spreadOf } from "../../src/forecast/spread.js";
import { polarServer } from "../tools/backtest/made-night.js";
import { certainBeliefs } from "./certain-beliefs.js";
import { emptyNight, fixedTarget, request } from "./random-night.js";
import { steadyClass } from "./steady-class.js";

const RUNS = 20_000;
/** Two-sided, one in a thousand. */
const STANDARD_ERRORS = 3.3;
const SERVICE_SECONDS = 60;

const target = fixedTarget("always up", 100, 80);
const shared = { filter: "clear", exposureSeconds: SERVICE_SECONDS, frames: 1 };
const certain = certainBeliefs(polarServer);
const night = emptyNight("2026-12-15", polarServer);
const nowUnixMs = night.nowUnixMs + 6 * HOUR;

/** Waits in seconds of the last of so many requests, over all runs; the earlier ones of a smaller tier. */
function waitsOfLast(count: number, beliefs: Partial<Beliefs>, held = false): number[] {
  const waiting = Array.from({ length: count }, (_, index) =>
    request(index + 1, target, {
      ...shared,
      tier: index < count - 1 ? 0 : 1,
      askedUnixMs: nowUnixMs - MINUTE,
    }),
  );
  const input = {
    ...night,
    ...{ nowUnixMs, untilUnixMs: nowUnixMs + 40 * HOUR, rule: "first-come" as const, waiting },
    holdUntilUnixMs: held ? Number.POSITIVE_INFINITY : null,
  };
  const { starts, numbers, runs } = spreadOf(input, { ...certain, ...beliefs }, { runs: RUNS, seed: 5 });
  const row = numbers.indexOf(count);
  return [...starts.subarray(row * runs, (row + 1) * runs)].map((start) => (start - nowUnixMs) / SECOND);
}

function expectMean(values: readonly number[], theory: number): void {
  const error = (deviation(values) as number) / Math.sqrt(values.length);
  expect(Math.abs((mean(values) as number) - theory)).toBeLessThan(STANDARD_ERRORS * error + 0.001);
}

function expectShare(values: readonly boolean[], theory: number): void {
  const error = Math.sqrt((theory * (1 - theory)) / values.length);
  expect(Math.abs(values.filter(Boolean).length / values.length - theory)).toBeLessThan(
    STANDARD_ERRORS * error,
  );
}

describe("a request of the later tier", () => {
  // R. W. Conway, W. L. Maxwell & L. W. Miller 1967, Theory of Scheduling, ch. 8: a busy period that begins with work
  // w, where customers of load ρ go on arriving by chance, lasts w / (1 − ρ) in the mean. The later tier starts then.
  it.each([0, 0.3, 0.6])("waits w / (1 − ρ) for work w and earlier-tier arrivals of load %d", (load) => {
    const perHour = (load * HOUR) / (SERVICE_SECONDS * SECOND);
    const arrivals = {
      ...steadyClass(perHour, 4, 0),
      targetMix: [{ target, weight: 1 }],
      requestShapes: [{ ...shared, tier: 0, owner: "someone" }],
    };
    expectMean(waitsOfLast(3, { arrivals }), (2 * SERVICE_SECONDS) / (1 - load));
  });

  // N. L. Johnson, A. W. Kemp & S. Kotz 2005, Univariate Discrete Distributions, ch. 5: failures before the n-th
  // success, each with chance f, have mean n f / (1 − f), variance n f / (1 − f)² and are none with chance (1 − f)ⁿ.
  it("waits for repeats as many as a negative binomial distribution has", () => {
    const [before, f] = [6, 0.2];
    const repeats = waitsOfLast(before + 1, { failureFraction: f }).map(
      (seconds) => seconds / SERVICE_SECONDS - before,
    );
    expectMean(repeats, (before * f) / (1 - f));
    const theory = (before * f) / (1 - f) ** 2;
    expectMean(
      repeats.map((each) => (each - (before * f) / (1 - f)) ** 2),
      theory,
    );
    expectShare(
      repeats.map((each) => each === 0),
      (1 - f) ** before,
    );
  });

  // K. S. Lomax 1954, JASA 49, 847: an exponential time whose rate is gamma-distributed, of shape a and mean 1/m,
  // outlasts t with chance (1 + t / (a m))^(−a).
  it.each([3, 5])("waits for an open hold as Lomax's distribution of shape %d has it", (shape) => {
    const closedMeanMs = 20 * MINUTE;
    const interruptions = { ...certain.interruptions, closedMeanMs, closedShape: shape, openNow: false };
    const waits = waitsOfLast(1, { interruptions }, true);
    for (const minutes of [5, 20, 60, 180])
      expectShare(
        waits.map((seconds) => seconds > minutes * 60),
        (1 + (minutes * MINUTE) / (shape * closedMeanMs)) ** -shape,
      );
  });

  it("never starts in as many runs as the hold is believed to be for good", () => {
    const closedMeanMs = 20 * MINUTE;
    const interruptions = { ...certain.interruptions, closedMeanMs, openNow: false, standsForGood: 0.3 };
    expectShare(waitsOfLast(1, { interruptions }, true).map(Number.isNaN), 0.3);
  });

  // S. A. Klugman, H. H. Panjer & G. E. Willmot 2012, Loss Models, ch. 9: each of n actions is followed by a hold with
  // chance p, of exponential length c, so the holds cost a compound binomial sum: mean n p c, variance n p (2 − p) c²,
  // nothing with chance (1 − p)ⁿ.
  it("loses to holds what a compound binomial distribution has", () => {
    const [before, openSeconds, closedSeconds] = [8, 300, 200];
    const interruptions = {
      ...certain.interruptions,
      openMeanMs: openSeconds * SECOND,
      closedMeanMs: closedSeconds * SECOND,
    };
    const p = 1 - Math.exp(-SERVICE_SECONDS / openSeconds);
    const lost = waitsOfLast(before + 1, { interruptions }).map(
      (seconds) => seconds - before * SERVICE_SECONDS,
    );
    expectMean(lost, before * p * closedSeconds);
    expectMean(
      lost.map((each) => (each - before * p * closedSeconds) ** 2),
      before * p * (2 - p) * closedSeconds ** 2,
    );
    expectShare(
      lost.map((each) => each < 0.5),
      (1 - p) ** before,
    );
  });
});
