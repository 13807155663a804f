/** The worker's side: one site's nights, first nights, or its comparison of rules. */
import { type BlockResult, type BlockWish, runBlock, runFirstNights } from "./block.js";
import { type ComparisonWish, compareRules, type RuleComparison } from "./compare-rules.js";

export type Task =
  | ({ readonly task: "block" | "first" } & BlockWish)
  | ({ readonly task: "compare" } & ComparisonWish);
export type TaskResult =
  | ({ readonly task: "block" | "first" } & BlockResult)
  | { readonly task: "compare"; readonly nights: readonly RuleComparison[] };

/** Called by the pool for each task. */
export default async function work(task: Task): Promise<TaskResult> {
  if (task.task === "block") return { task: task.task, ...(await runBlock(task)) };
  if (task.task === "first") return { task: task.task, ...(await runFirstNights(task)) };
  return { task: "compare", nights: await compareRules(task) };
}
