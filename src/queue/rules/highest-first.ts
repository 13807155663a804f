/** Highest first: the target that stands highest now; within a target, in order of asking. */
import { NONE } from "../queue-table.js";
import type { OrderingRule } from "./ordering-rule.js";
import { byAltitude } from "./reasons.js";

export const highestFirst: OrderingRule = {
  name: "highest-first",
  keepsGroups: true,

  best(moment, from, to) {
    let best = NONE;
    let bestSine = Number.NEGATIVE_INFINITY;
    for (let index = from; index < to; index++) {
      const group = moment.open[index]!;
      const sine = moment.sinAltitude(group);
      if (sine < bestSine) continue;
      const row = moment.first(group);
      if (row === NONE || (sine === bestSine && row > best)) continue;
      best = row;
      bestSine = sine;
    }
    return best;
  },

  why: byAltitude,
};
