/** What an ordering rule is: it picks the best candidate of one tier, and says why one stands before another. */

import type { Decider } from "../decider.js";
import type { Moment } from "../moment.js";
import type { RuleName } from "../request.js";

/**
 * A rule looks at the moment alone: the same moment always gives the same answer, so that a forecast
 * made now and the telescope asking later agree. It keeps no state and allocates nothing.
 */
export interface OrderingRule {
  readonly name: RuleName;
  /** Whether the next row of the same group always comes next, so that no other group needs to be looked at. */
  readonly keepsGroups: boolean;
  /** It decides between tiers, too: `best` is asked once, for all that is open. */
  readonly acrossTiers?: true;
  /**
   * The row to take first among the groups `moment.open[from]` … `moment.open[to - 1]`, all of one tier unless
   * the rule decides between tiers; NONE when none of their rows may be taken. Ties end with the smaller row, which asked earlier.
   */
  best(moment: Moment, from: number, to: number): number;
  /** Why `row` stands before `other`; both may be taken now and, unless the rule decides between tiers, belong to one. */
  why(moment: Moment, row: number, other: number): Decider;
}
