/** A plan for the rest of a night: what the rule `planned` follows. */
import { NO_PLAN, type Plan } from "../queue/planner/plan.js";
import { planQueue } from "../queue/planner/plan-queue.js";
import { problemOf, ROUNDS } from "./follow-plan.js";
import { Machines } from "./machines.js";
import { NightEngine } from "./night-engine.js";
import type { NightInput } from "./night-run.js";

/**
 * The plan that the input brings, mended, is kept unless another is really better. Deterministic; a long queue takes
 * some tenths of a second: not for where somebody waits.
 */
export function planNight(input: NightInput, rounds = ROUNDS): Plan {
  const { observatory, overheads, pointing } = input;
  const engine = new NightEngine({ ...input, rule: "planned", plan: input.plan ?? NO_PLAN });
  const problem = problemOf(input, engine.table, new Machines(observatory, overheads, pointing));
  const isFirst = (input.plan ?? NO_PLAN).order.length === 0;
  return planQueue(problem, isFirst ? { rounds } : { rounds, old: engine.mendedPlan() as Plan });
}
