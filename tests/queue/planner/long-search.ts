/** A long seeded search on a whole night: the best known plan is kicked and mended again and again. */
import { seededRandom } from "../../../src/base/random.js";
import { planQueue } from "../../../src/queue/planner/plan-queue.js";
import type { Problem } from "../../../src/queue/planner/problem.js";
import type { Schedule } from "../../../src/queue/planner/schedule.js";
import { StretchSearch } from "../../../src/queue/planner/search.js";
import { playedIn } from "./cases.js";

const ACTIONS_AFTER_A_KICK = 40_000;

/** @param kicks how often */
export function longSearch(problem: Problem, seed: number, kicks: number): Schedule {
  const { uniform } = seededRandom(seed);
  const rows = Array.from({ length: problem.rows }, (_, row) => row);
  const first = playedIn(problem, planQueue(problem, { rounds: 10 }));
  let best = new StretchSearch(problem, rows, [...first.order.slice(0, first.count)]);
  for (let kick = 0; kick < kicks; kick++) {
    const order = [...best.schedule.order.slice(0, best.schedule.count)];
    const from = Math.floor(uniform() * order.length);
    const taken = order.splice(from, 2 + Math.floor(uniform() * 6));
    const to = Math.max(0, from + Math.round(uniform() * 20 - 10));
    if (uniform() < 0.5) order.splice(to, 0, ...taken.toReversed().slice(Math.floor(uniform() * 3)));
    const next = new StretchSearch(problem, rows, order);
    next.round(problem.actions + ACTIONS_AFTER_A_KICK);
    if (next.schedule.value > best.schedule.value) best = next;
  }
  return best.schedule;
}
