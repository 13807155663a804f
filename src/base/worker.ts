/** What workers that handle megabytes at a time have in common: they leave nothing lying about. */
import { setImmediate } from "node:timers/promises";
import { setFlagsFromString } from "node:v8";
import { runInNewContext } from "node:vm";
import { isMainThread } from "node:worker_threads";

/**
 * The same work, in a worker followed by a collection of what it leaves: images hold megabytes that JavaScript's own
 * count of memory does not see, and would pile up.
 */
export function tidyAfter<Task, Result>(
  work: (task: Task) => Result | Promise<Result>,
): (task: Task) => Promise<Result> {
  if (isMainThread) return async (task) => work(task);
  const collect = collector();
  return async (task) => {
    const result = await work(task);
    // What a task has made is held until the task's own turn is over; and between tasks a worker of a pool sleeps on a
    // lock, where nothing is freed at all.
    await setImmediate();
    collect();
    return result;
  };
}

function collector(): () => void {
  setFlagsFromString("--expose-gc");
  return runInNewContext("gc") as () => void;
}
