/** All orders of a few requests, each with everyone waiting for height as long as that is worth it; the best of them. */
import { MINUTE, type UtcMillis } from "../../../src/base/units.js";
import type { Pointing } from "../../../src/observatory/observatory.js";
import { playWaiting } from "../../../src/queue/planner/place-waits.js";
import type { Problem } from "../../../src/queue/planner/problem.js";
import { Schedule } from "../../../src/queue/planner/schedule.js";
import { SAFE_BEFORE_LATEST } from "../../../src/queue/planner/worth.js";

/** A schedule whose value no order exceeds. */
export function bestOfAllOrders(problem: Problem): Schedule {
  const schedule = new Schedule(problem);
  const rows = Array.from({ length: problem.rows }, (_, row) => row);
  let best: readonly number[] = [];
  let value = playWaiting(schedule, best);
  const order: number[] = [];
  const extend = (freeUnixMs: UtcMillis, pointing: Pointing): void => {
    let last = true;
    for (const row of rows) {
      if (order.includes(row)) continue;
      problem.stand(pointing);
      if (!problem.begin(row, freeUnixMs)) continue;
      last = false;
      order.push(row);
      extend(problem.freeUnixMs, problem.pointing);
      order.pop();
    }
    if (!last || order.length < best.length) return;
    const reached = playWaiting(schedule, order);
    if (reached <= value) return;
    value = reached;
    best = [...order];
  };
  problem.stand();
  extend(problem.task.fromUnixMs, problem.pointing);
  playWaiting(schedule, best);
  return schedule;
}

const GRID = 2 * MINUTE;

/**
 * The least cost of an order over all starts on a grid of two minutes, by dynamic programming: what waiting could at
 * best come to.
 */
export function leastCostOfWaiting(played: Schedule): number {
  const { problem, count } = played;
  const soonest = new Schedule(problem);
  soonest.play(played.order.slice(0, count));
  const { order, start, ready, free } = soonest;
  const { fromUnixMs, untilUnixMs } = problem.task;
  const steps = Math.ceil((untilUnixMs - fromUnixMs) / GRID);
  let behind = new Float64Array(steps + 1);
  for (let place = soonest.count - 1; place >= 0; place--) {
    const row = order[place] as number;
    const begins = start[place] as number;
    const takes = (free[place] as number) - begins;
    let busy = 0;
    for (let each = 0; each < place; each++) busy += (free[each] as number) - (start[each] as number);
    const spare = problem.spareMs(row, begins, ready[place] as number);
    const latest = begins + Math.max(0, spare - SAFE_BEFORE_LATEST);
    const here = new Float64Array(steps + 1).fill(Number.POSITIVE_INFINITY);
    for (let step = steps; step >= 0; step--) {
      const unixMs = Math.max(begins, fromUnixMs + step * GRID);
      const then = Math.min(steps, Math.max(0, Math.ceil((unixMs + takes - fromUnixMs) / GRID - 0.5)));
      const cost =
        unixMs > Math.max(begins, latest)
          ? Number.POSITIVE_INFINITY
          : problem.cost(row, unixMs, ready[place] as number, unixMs - fromUnixMs - busy) +
            (behind[then] as number);
      here[step] = Math.min(cost, here[step + 1] ?? Number.POSITIVE_INFINITY);
    }
    behind = here;
  }
  return behind[0] as number;
}
