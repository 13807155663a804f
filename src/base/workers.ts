/** Work done off the main thread: workers are started when first needed, and let go when they have been idle. */
import { fileURLToPath } from "node:url";
import type { ResourceLimits } from "node:worker_threads";
import type { Piscina } from "piscina";
import type { Millis } from "./units.js";

export interface Workers<Task, Result> {
  /** @throws {Error} when the work fails, or it is ended meanwhile */
  run(task: Task): Promise<Result>;
  /** Lets the workers go when what is under way is done. */
  close(): Promise<void>;
  /** Lets the workers go; what is under way ends with an error. */
  end(): Promise<void>;
}

export interface WorkerPlan<Task, Result> {
  /** The compiled module whose default export does the work. */
  readonly url: URL;
  /** The same module on this thread: run from the TypeScript sources, which a worker cannot load, the work is done here. */
  here(): Promise<{ default(task: Task): Result | Promise<Result> }>;
  readonly threads: number;
  /** How long an idle worker is kept. */
  readonly idleMs: Millis;
  readonly limits: ResourceLimits;
}

export function openWorkers<Task, Result>(plan: WorkerPlan<Task, Result>): Workers<Task, Result> {
  if (import.meta.url.endsWith(".ts")) {
    const nothing = async (): Promise<void> => {};
    return { run: async (task) => (await plan.here()).default(task), close: nothing, end: nothing };
  }
  let opened: Promise<Piscina<Task, Result>> | null = null;
  return {
    run: async (task) => {
      opened ??= poolOf(plan);
      return (await opened).run(task);
    },
    close: async () => (await opened)?.close(),
    end: async () => (await opened)?.destroy(),
  };
}

/** The pool's own modules are loaded only now: a start needs none of them. */
async function poolOf<Task, Result>(plan: WorkerPlan<Task, Result>): Promise<Piscina<Task, Result>> {
  const { Piscina: Pool } = await import("piscina");
  return new Pool<Task, Result>({
    filename: fileURLToPath(plan.url),
    minThreads: 0,
    maxThreads: plan.threads,
    idleTimeout: plan.idleMs,
    resourceLimits: plan.limits,
  });
}
