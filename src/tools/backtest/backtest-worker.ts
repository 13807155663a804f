/** The worker's side: one site's nights, or its comparison of rules. */
import { type BlockResult, type BlockWish, runBlock } from "./block.js";
import { type ComparisonWish, compareRules, type RuleComparison } from "./compare-rules.js";

export type Task = ({ readonly task: "block" } & BlockWish) | ({ readonly task: "compare" } & ComparisonWish);
export type TaskResult =
  | ({ readonly task: "block" } & BlockResult)
  | { readonly task: "compare"; readonly nights: readonly RuleComparison[] };

/** Called by the pool for each task. */
export default async function work(task: Task): Promise<TaskResult> {
  if (task.task === "block") return { task: "block", ...(await runBlock(task)) };
  return { task: "compare", nights: await compareRules(task) };
}
