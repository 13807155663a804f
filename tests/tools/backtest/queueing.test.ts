/** The simulator against queueing theory: with one target and no sky in the way it is a textbook queue. */
import { describe, expect, it } from "vitest";
import { type Random, seededRandom } from "../../../src/base/random.js";
import { SECOND } from "../../../src/base/units.js";
import type { Request } from "../../../src/queue/request.js";
import { nightNamed } from "../../../src/sky/night.js";
import { playTruth } from "../../../src/tools/backtest/play.js";
import { pickByWeight } from "../../../src/tools/backtest/truth/draws.js";
import { nobody } from "../../../src/tools/backtest/watcher.js";
import { fixedTarget, request } from "../../forecast/random-night.js";
import { madeNight, never, polarServer } from "./made-night.js";

const DATE = "2026-12-15";
const target = fixedTarget("always up", 100, 80);
/** Mean service of one second; rates are per second. */
const SERVICE_SECONDS = 1;
/** Waits of the first customers, who find the queue empty, don't count. */
const WARM_UP = 500;
const CUSTOMERS = 15_000;
/** The waits of successive customers go together; the means of long batches hardly do. */
const BATCHES = 30;
/** Two-sided, one in a thousand. */
const STANDARD_ERRORS = 3.3;

interface Stream {
  readonly perSecond: number;
  readonly tier: number;
}

type Service = (random: Random) => number;
const exponential: Service = (random) => random.exponential(SERVICE_SECONDS);
const constant: Service = () => SERVICE_SECONDS;

/** Poisson arrivals of each stream, in order of asking. */
function customers(streams: readonly Stream[], service: Service, seed: number): Request[] {
  const random = seededRandom(seed);
  const perSecond = streams.reduce((sum, stream) => sum + stream.perSecond, 0);
  const weighted = streams.map((stream) => ({ ...stream, weight: stream.perSecond }));
  let askedUnixMs = nightNamed(DATE, "Etc/UTC").startUnixMs;
  return Array.from({ length: CUSTOMERS }, (_, index) => {
    askedUnixMs += random.exponential(SECOND / perSecond);
    const stream = pickByWeight(weighted, random);
    return request(index + 1, target, {
      askedUnixMs: Math.round(askedUnixMs),
      exposureSeconds: Math.max(0.001, service(random)),
      filter: "clear",
      tier: stream.tier,
    });
  });
}

/** Waits in seconds of one tier's customers, in order of asking. */
async function waits(requests: readonly Request[], tier: number): Promise<number[]> {
  const night = madeNight(DATE, requests, { observatory: polarServer });
  const { startUnixMs } = await playTruth(night, "first-come", "total", nobody, never);
  return requests
    .slice(WARM_UP)
    .filter((each) => each.tier === tier)
    .map(({ number, askedUnixMs }) => (startUnixMs.get(number)! - askedUnixMs) / SECOND);
}

/** Mean and its standard error, by batch means. */
function meanOf(values: readonly number[]): { mean: number; error: number } {
  const size = Math.floor(values.length / BATCHES);
  const average = (some: readonly number[]) => some.reduce((sum, each) => sum + each, 0) / some.length;
  const means = Array.from({ length: BATCHES }, (_, batch) =>
    average(values.slice(batch * size, (batch + 1) * size)),
  );
  const mean = average(means);
  const variance = means.reduce((sum, each) => sum + (each - mean) ** 2, 0) / (BATCHES - 1);
  return { mean, error: Math.sqrt(variance / BATCHES) };
}

function expectMean(values: readonly number[], theory: number): void {
  const { mean, error } = meanOf(values);
  expect(error / theory).toBeLessThan(0.08);
  expect(Math.abs(mean - theory)).toBeLessThan(STANDARD_ERRORS * error);
}

describe("first-come, one target, Poisson arrivals", () => {
  it.each([0.4, 0.6])("waits as M/M/1 does at load %d: ρ / (μ − λ)", async (load) => {
    const requests = customers([{ perSecond: load, tier: 0 }], exponential, 11);
    expectMean(await waits(requests, 0), load / (1 / SERVICE_SECONDS - load));
  });

  it("waits half as long when every service takes the same time (M/D/1)", async () => {
    const load = 0.5;
    const requests = customers([{ perSecond: load, tier: 0 }], constant, 12);
    expectMean(await waits(requests, 0), load / (1 / SERVICE_SECONDS - load) / 2);
  });
});

describe("two tiers", () => {
  // A. Cobham 1954, Priority assignment in waiting line problems, Operations Research 2, 70: a service under way
  // is finished; W_k = W_0 / ((1 − σ_(k−1)) (1 − σ_k)), where W_0 = Σ λ E[S²] / 2 and σ_k is the load of tiers up to k.
  it("wait as Cobham's formula for non-preemptive priority says", async () => {
    const [first, second] = [0.25, 0.25];
    const meanSquare = 2 * SERVICE_SECONDS ** 2;
    const residual = ((first + second) * meanSquare) / 2;
    const streams = [
      { perSecond: first, tier: 0 },
      { perSecond: second, tier: 1 },
    ];
    const requests = customers(streams, exponential, 13);
    expectMean(await waits(requests, 0), residual / (1 - first));
    expectMean(await waits(requests, 1), residual / ((1 - first) * (1 - first - second)));
  });
});
