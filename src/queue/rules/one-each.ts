/** One each: whoever has had the fewest requests taken tonight; between equals, the highest target. */
import { NONE } from "../queue-table.js";
import { byAltitude } from "./deciders.js";
import type { OrderingRule } from "./ordering-rule.js";

export const oneEach: OrderingRule = {
  name: "one-each",
  keepsGroups: false,

  best(moment, from, to) {
    const { taken } = moment.lists;
    const { owner } = moment.table;
    let best = NONE;
    let bestTaken = Number.POSITIVE_INFINITY;
    let bestSine = Number.NEGATIVE_INFINITY;
    for (let index = from; index < to; index++) {
      const group = moment.open[index]!;
      const sine = moment.sinAltitude(group);
      for (let row = moment.first(group); row !== NONE; row = moment.after(group, row)) {
        const had = taken[owner[row]!]!;
        if (had > bestTaken) continue;
        if (had === bestTaken && (sine < bestSine || (sine === bestSine && row > best))) continue;
        best = row;
        bestTaken = had;
        bestSine = sine;
      }
    }
    return best;
  },

  why(moment, row, other) {
    const { owner } = moment.table;
    const taken = moment.lists.taken[owner[row]!]!;
    const otherTaken = moment.lists.taken[owner[other]!]!;
    if (taken === otherTaken) return byAltitude(moment, row, other);
    return { by: "turn", taken, otherTaken };
  },
};
