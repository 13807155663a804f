/** The spread on one core and over two, and how its cost grows. */
import { priorBeliefs } from "../../forecast/learn/beliefs.js";
import type { NightInput } from "../../forecast/night-run.js";
import { planNight } from "../../forecast/plan-night.js";
import { openSpreadPool } from "../../forecast/pool.js";
import { spreadOf } from "../../forecast/spread.js";
import { benchNight } from "./bench-night.js";
import { exampleConfig } from "./example.js";
import { atMost, type BenchRow, figure, median } from "./row.js";

const SMALL = { requests: 300, targets: 60, runs: 300, limitMs: 150 };
const LARGE = { requests: 10_000, targets: 200, runs: 100, limitMs: 3_000 };
const GROWTH_REQUESTS = 1_000;
/** Ten times the requests may cost this much more: linear, with a little to spare. */
const GROWTH_LIMIT = 13;
/** Following a plan through a future, and mending it, against the default rule. */
const PLANNED_LIMIT = 2;
const TIMES = 7;

export async function spread(): Promise<readonly BenchRow[]> {
  const small = benchNight(SMALL.requests, SMALL.targets);
  const large = benchNight(LARGE.requests, LARGE.targets);
  const tenth = benchNight(GROWTH_REQUESTS, LARGE.targets);
  const oneCore = (night: NightInput, runs: number) => medianOf(TIMES, () => aloneMs(night, runs));
  const smallMs = await oneCore(small, SMALL.runs);
  const plannedMs = await oneCore({ ...small, rule: "planned", plan: planNight(small) }, SMALL.runs);
  const tenthMs = await oneCore(tenth, LARGE.runs);
  const largeMs = await oneCore(large, LARGE.runs);
  return [
    atMost(`spread on one core, ${nameOf(SMALL)}`, smallMs, "ms", SMALL.limitMs),
    atMost(`spread under planned ÷ highest-first, ${nameOf(SMALL)}`, plannedMs / smallMs, "×", PLANNED_LIMIT),
    atMost(`spread over two cores, ${nameOf(LARGE)}`, await sharedMs(large), "ms", LARGE.limitMs),
    figure(`spread on one core, ${nameOf({ ...LARGE, requests: GROWTH_REQUESTS })}`, tenthMs, "ms"),
    figure(`spread on one core, ${nameOf(LARGE)}`, largeMs, "ms"),
    atMost(`spread, ${LARGE.requests} ÷ ${GROWTH_REQUESTS} requests`, largeMs / tenthMs, "×", GROWTH_LIMIT),
  ];
}

function nameOf({ requests, targets, runs }: Pick<typeof SMALL, "requests" | "targets" | "runs">): string {
  return `${requests} requests, ${targets} targets, ${runs} runs`;
}

async function aloneMs(night: NightInput, runs: number): Promise<number> {
  const { forecast } = exampleConfig();
  const beliefs = priorBeliefs(forecast, night.observatory);
  const start = performance.now();
  const { ranges } = spreadOf(night, beliefs, { runs, seed: 1 });
  const taken = performance.now() - start;
  if (ranges.size !== night.waiting.length) throw new Error("every request has its range");
  return taken;
}

async function sharedMs(night: NightInput): Promise<number> {
  const pool = openSpreadPool();
  const beliefs = priorBeliefs(exampleConfig().forecast, night.observatory);
  try {
    return await medianOf(TIMES, async () => {
      const start = performance.now();
      await pool.spread(night, beliefs, { runs: LARGE.runs, seed: 1 });
      return performance.now() - start;
    });
  } finally {
    await pool.close();
  }
}

/** The first is not counted: it warms up. */
async function medianOf(times: number, measure: () => Promise<number>): Promise<number> {
  await measure();
  const taken: number[] = [];
  for (let time = 0; time < times; time++) taken.push(await measure());
  return median(taken);
}
