/** Whose turn it is: the smallest tier with anyone who may be taken, then the ordering rule. */
import type { Decider } from "./decider.js";
import type { Moment } from "./moment.js";
import { NONE } from "./queue-table.js";
import type { OrderingRule } from "./rules/ordering-rule.js";

/** The row to take now; NONE when nobody may be taken, or those who may had better wait for height. */
export function choose(moment: Moment, rule: OrderingRule): number {
  const { worth } = moment;
  if (worth === null || !worth.passOver()) return bestOf(moment, rule);
  const row = bestOf(moment, rule);
  if (row !== NONE || worth.mayIdle()) return row;
  worth.takeAll();
  return bestOf(moment, rule);
}

function bestOf(moment: Moment, rule: OrderingRule): number {
  const { openCount, tierEnd } = moment;
  if (rule.acrossTiers) return rule.best(moment, 0, openCount);
  for (let from = 0; from < openCount; ) {
    const to = tierEnd[from]!;
    const best = rule.best(moment, from, to);
    if (best !== NONE) return best;
    from = to;
  }
  return NONE;
}

/** The best of the others, NONE when nobody else may be taken now. */
export function bestOfOthers(moment: Moment, rule: OrderingRule, row: number): number {
  const next = rule.keepsGroups ? moment.after(moment.table.group[row]!, row) : NONE;
  if (next !== NONE) return next;
  moment.excluded = row;
  const other = bestOf(moment, rule);
  moment.excluded = NONE;
  return other;
}

/** Why `row` stands before `other`, the best of the others. */
export function whyBefore(moment: Moment, rule: OrderingRule, row: number, other: number): Decider {
  if (other === NONE) return { by: "only" };
  if (rule.acrossTiers) return rule.why(moment, row, other);
  const { group, tier: tierOf } = moment.table;
  const tier = tierOf[group[row]!]!;
  const otherTier = tierOf[group[other]!]!;
  return tier === otherTier ? rule.why(moment, row, other) : { by: "tier", tier, otherTier };
}
