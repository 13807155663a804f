/** The spread against queueing theory: with one target, arrivals of a tier before mine and nothing else uncertain. */
import { expect, it } from "vitest";
import { HOUR, MINUTE, SECOND } from "../../src/base/units.js";
import { spreadOf } from "../../src/forecast/spread.js";
import { polarServer } from "../tools/backtest/made-night.js";
import { certainBeliefs } from "./certain-beliefs.js";
import { emptyNight, fixedTarget, request } from "./random-night.js";
import { steadyClass } from "./steady-class.js";

const RUNS = 20_000;
/** Two-sided, one in a thousand. */
const STANDARD_ERRORS = 3.3;
const SERVICE_SECONDS = 60;

// R. W. Conway, W. L. Maxwell & L. W. Miller 1967, Theory of Scheduling, ch. 8: a busy period that begins with work w,
// where customers of load ρ go on arriving by chance, lasts w / (1 − ρ) in the mean. A request of the later tier starts
// when it is over.
it.each([0, 0.3, 0.6])(
  "a later tier waits w / (1 − ρ) for work w and earlier-tier arrivals of load %d",
  (load) => {
    const target = fixedTarget("always up", 100, 80);
    const shared = { filter: "clear", exposureSeconds: SERVICE_SECONDS, frames: 1 };
    const night = emptyNight("2026-12-15", polarServer);
    const nowUnixMs = night.nowUnixMs + 6 * HOUR;
    const waiting = [
      request(1, target, { ...shared, tier: 0, askedUnixMs: nowUnixMs - MINUTE }),
      request(2, target, { ...shared, tier: 0, askedUnixMs: nowUnixMs - MINUTE }),
      request(3, target, { ...shared, tier: 1, askedUnixMs: nowUnixMs - 2 * MINUTE }),
    ];
    const certain = certainBeliefs(polarServer);
    const perHour = (load * HOUR) / (SERVICE_SECONDS * SECOND);
    const arrivals = {
      ...steadyClass(perHour, 4, 0),
      targetMix: [{ target, weight: 1 }],
      requestShapes: [{ ...shared, tier: 0, owner: "someone" }],
    };
    const input = {
      ...night,
      nowUnixMs,
      untilUnixMs: nowUnixMs + 4 * HOUR,
      rule: "first-come",
      waiting,
    } as const;
    const { starts, numbers, runs } = spreadOf(input, { ...certain, arrivals }, { runs: RUNS, seed: 5 });
    const row = numbers.indexOf(3);
    const waits = [...starts.subarray(row * runs, (row + 1) * runs)].map(
      (start) => (start - nowUnixMs) / SECOND,
    );
    const mean = waits.reduce((sum, each) => sum + each, 0) / RUNS;
    const error = Math.sqrt(waits.reduce((sum, each) => sum + (each - mean) ** 2, 0) / RUNS / (RUNS - 1));
    const theory = (2 * SERVICE_SECONDS) / (1 - load);
    expect(error / theory).toBeLessThan(0.02);
    expect(Math.abs(mean - theory)).toBeLessThan(STANDARD_ERRORS * error + 0.001);
  },
);
