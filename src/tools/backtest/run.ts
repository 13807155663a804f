/** Runs the backtest over all cores: one task for each site's nights and one for each site's comparison of rules. */
import { availableParallelism } from "node:os";
import { Piscina } from "piscina";
import type { Config } from "../../config/config.js";
import type { Task, TaskResult } from "./backtest-worker.js";
import { type Result, resultOf } from "./result.js";
import type { Truth } from "./truth/parameters.js";

export interface BacktestWish {
  readonly truth: Truth;
  readonly config: Config;
  readonly nights: number;
  readonly seed: number;
}

/** The tasks of a backtest; nights are shared out among the sites as evenly as can be. */
export function tasksOf({ truth, config, nights, seed }: BacktestWish): Task[] {
  const share = (site: number): number =>
    Math.floor((nights * (site + 1)) / truth.sites.length) - Math.floor((nights * site) / truth.sites.length);
  const sites = [...truth.sites.keys()].filter((site) => share(site) > 0);
  return [
    ...sites.map((site): Task => ({ task: "block", truth, config, site, nights: share(site), seed })),
    ...sites.map((site): Task => ({ task: "compare", truth, config, site, seed })),
  ];
}

/** Puts the results of the tasks together, in the order of the tasks. */
export function gather(nights: number, results: readonly TaskResult[]): Result {
  const blocks = results.flatMap((each) => (each.task === "block" ? [each] : []));
  return resultOf(
    nights,
    blocks.reduce((sum, block) => sum + block.requests, 0),
    blocks.flatMap(({ judged }) => judged),
    results.flatMap((each) => (each.task === "compare" ? each.nights : [])),
  );
}

/** Plays everything; the same wish gives the same result, however many cores there are. */
export async function runBacktest(wish: BacktestWish): Promise<Result> {
  const pool = new Piscina<Task, TaskResult>({
    filename: new URL("./backtest-worker.js", import.meta.url).href,
    maxThreads: availableParallelism(),
  });
  try {
    return gather(wish.nights, await Promise.all(tasksOf(wish).map((task) => pool.run(task))));
  } finally {
    await pool.destroy();
  }
}
