/** Whose turn it is: the smallest tier with anyone who may be taken, then the ordering rule. */
import type { Decider } from "./decider.js";
import type { Moment } from "./moment.js";
import { NONE } from "./queue-table.js";
import type { OrderingRule } from "./rules/ordering-rule.js";

/** The row to take now; NONE when nobody may be taken. */
export function choose(moment: Moment, rule: OrderingRule): number {
  const { groups } = moment.table;
  const { open, openCount } = moment;
  for (let from = 0; from < openCount; ) {
    const { tier } = groups[open[from]!]!;
    let to = from + 1;
    while (to < openCount && groups[open[to]!]!.tier === tier) to++;
    const best = rule.best(moment, from, to);
    if (best !== NONE) return best;
    from = to;
  }
  return NONE;
}

/** The best of the others, and why `row` stands before it. */
export function reasonFor(
  moment: Moment,
  rule: OrderingRule,
  row: number,
): { readonly decider: Decider; readonly other: number } {
  moment.excluded = row;
  const other = choose(moment, rule);
  moment.excluded = NONE;
  if (other === NONE) return { decider: { by: "only" }, other };
  const { group, groups } = moment.table;
  const { tier } = groups[group[row]!]!;
  const { tier: otherTier } = groups[group[other]!]!;
  if (tier !== otherTier) return { decider: { by: "tier", tier, otherTier }, other };
  return { decider: rule.why(moment, row, other), other };
}
