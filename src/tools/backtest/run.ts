/** Runs the backtest over all cores: for each site one task for its nights, one for first nights, one to compare rules. */
import { Piscina } from "piscina";
import type { Config } from "../../config/config.js";
import type { Task, TaskResult } from "./backtest-worker.js";
import { type Result, resultOf } from "./result.js";
import type { Truth } from "./truth/parameters.js";

export interface BacktestWish {
  readonly truth: Truth;
  readonly config: Config;
  readonly nights: number;
  readonly firstNights: number;
  readonly oracle: number;
  readonly seed: number;
}

/** The tasks of a backtest; nights are shared out among the sites as evenly as can be. */
export function tasksOf(wish: BacktestWish, done?: Int32Array): Task[] {
  const { truth, config, seed } = wish;
  const share = (of: number, site: number): number =>
    Math.floor((of * (site + 1)) / truth.sites.length) - Math.floor((of * site) / truth.sites.length);
  const tasks = (task: "block" | "first", nights: number, oracle: number): Task[] =>
    [...truth.sites.keys()]
      .filter((site) => share(nights, site) > 0)
      .map((site) => ({
        ...{ task, truth, config, site, seed, nights: share(nights, site), oracle: share(oracle, site) },
        ...(done ? { done } : {}),
      }));
  const blocks = tasks("block", wish.nights, wish.oracle);
  const compared = truth.fullNights.nightsPerSite > 0 ? blocks : [];
  return [
    ...blocks,
    ...tasks("first", wish.firstNights, 0),
    ...compared.map(({ site }): Task => ({ task: "compare", truth, config, site, seed })),
  ];
}

/** Puts the results of the tasks together, in the order of the tasks. */
export function gather({ nights, firstNights }: BacktestWish, results: readonly TaskResult[]): Result {
  const blocks = results.flatMap((each) => (each.task === "block" ? [each] : []));
  return resultOf({
    nights,
    requests: blocks.reduce((sum, block) => sum + block.requests, 0),
    judged: blocks.flatMap(({ judged }) => judged),
    firstSites: firstNights,
    firstJudged: results.flatMap((each) => (each.task === "first" ? each.judged : [])),
    compared: results.flatMap((each) => (each.task === "compare" ? each.nights : [])),
  });
}

/** Told from time to time how many nights are over. */
export type OnProgress = (done: number, all: number) => void;

/** How often it is told, milliseconds. */
const TELL_EACH = 500;

/** Plays everything, one result for each wish; the same wishes give the same results, however many cores there are. */
export async function runBacktests(
  wishes: readonly BacktestWish[],
  cores: number,
  onProgress: OnProgress = () => {},
): Promise<Result[]> {
  const pool = new Piscina<Task, TaskResult>({
    filename: new URL("./backtest-worker.js", import.meta.url).href,
    maxThreads: cores,
  });
  const done = new Int32Array(new SharedArrayBuffer(Int32Array.BYTES_PER_ELEMENT));
  const all = wishes.reduce((sum, { nights, firstNights }) => sum + nights + firstNights, 0);
  const telling = setInterval(() => onProgress(Atomics.load(done, 0), all), TELL_EACH);
  try {
    return await Promise.all(
      wishes.map(async (wish) =>
        gather(wish, await Promise.all(tasksOf(wish, done).map((task) => pool.run(task)))),
      ),
    );
  } finally {
    clearInterval(telling);
    await pool.destroy();
  }
}
