/** The spread worked out off the main thread, over as many as two cores, so that nobody waits for an answer. */
import { availableParallelism } from "node:os";
import { openWorkers } from "../base/workers.js";
import type { Plan } from "../queue/planner/plan.js";
import type { Beliefs } from "./learn/beliefs.js";
import type { NightInput } from "./night-run.js";
import { type PackedNight, packNight } from "./packed-night.js";
import { planNight } from "./plan-night.js";
import type { SpreadTask, SpreadTaskResult } from "./pool-worker.js";
import { rangesFrom, type Spread, type SpreadOptions, spreadOf } from "./spread.js";

/** What a service needs of a spread. */
export type Ranges = Pick<Spread, "runs" | "ranges">;

export interface SpreadPool {
  /** The same as `spreadOf`, later. @throws {Error} when a worker fails or the pool is closed meanwhile */
  spread(input: NightInput, beliefs: Beliefs, options: SpreadOptions): Promise<Ranges>;
  /** The same as `planNight`, later. @throws {Error} likewise */
  plan(input: NightInput): Promise<Plan>;
  /** Lets the workers go; what is under way ends with an error. */
  close(): Promise<void>;
}

/** How long an idle worker is kept. Starting one takes about a fifth of a second. */
const IDLE_MS = 60_000;
const MOST_WORKERS = 2;
/** Starts (rows × runs) that are worth a second worker. */
const WORTH_SHARING = 100_000;
/** Room for short-lived objects in a worker, megabytes: a run makes hardly any, and the default is kept for good. */
const YOUNG_GENERATION_MB = 6;

/** No worker is started before the first spread is asked for. */
export function openSpreadPool(): SpreadPool {
  // Run from the TypeScript sources, which a worker cannot load, the same work is done here.
  return import.meta.url.endsWith(".ts") ? spreadHere : new WorkerPool();
}

/** No pool: worked out on the spot, for those who have nothing else to do meanwhile. */
export const spreadHere: SpreadPool = {
  spread: async (input, beliefs, options) => spreadOf(input, beliefs, options),
  plan: async (input) => planNight(input),
  close: async () => {},
};

class WorkerPool implements SpreadPool {
  private readonly workers = openWorkers<SpreadTask, SpreadTaskResult>({
    url: new URL("./pool-worker.js", import.meta.url),
    here: () => import("./pool-worker.js"),
    threads: MOST_WORKERS,
    idleMs: IDLE_MS,
    limits: { maxYoungGenerationSizeMb: YOUNG_GENERATION_MB },
  });

  async spread(input: NightInput, beliefs: Beliefs, { runs, seed }: SpreadOptions): Promise<Ranges> {
    const rows = input.waiting.length;
    if (rows === 0) return { runs, ranges: new Map() };
    const workers = rows * runs < WORTH_SHARING ? 1 : Math.min(MOST_WORKERS, availableParallelism());
    const starts = new SharedArrayBuffer(rows * runs * Float64Array.BYTES_PER_ELEMENT);
    const night: PackedNight = packNight(input);
    const [numbers] = await this.shared(runs, workers, (from, to) => ({
      do: "play",
      night,
      beliefs,
      seed,
      runs,
      from,
      to,
      starts,
    }));
    const sums = await this.shared(rows, workers, (from, to) => ({ do: "sum", runs, from, to, starts }));
    return { runs, ranges: rangesFrom([...(numbers as Float64Array)], joined(sums)) };
  }

  async plan(input: NightInput): Promise<Plan> {
    return (await this.workers.run({ do: "plan", night: packNight(input) })) as Plan;
  }

  close(): Promise<void> {
    return this.workers.end();
  }

  /** `count` things shared out evenly. */
  private async shared(
    count: number,
    workers: number,
    task: (from: number, to: number) => SpreadTask,
  ): Promise<Float64Array[]> {
    const end = (worker: number): number => Math.round((count * worker) / workers);
    const run = (from: number, to: number) => this.workers.run(task(from, to)) as Promise<Float64Array>;
    return Promise.all(Array.from({ length: workers }, (_, worker) => run(end(worker), end(worker + 1))));
  }
}

function joined(parts: readonly Float64Array[]): Float64Array {
  const whole = new Float64Array(parts.reduce((sum, part) => sum + part.length, 0));
  let at = 0;
  for (const part of parts) {
    whole.set(part, at);
    at += part.length;
  }
  return whole;
}
