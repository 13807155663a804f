/** First come, first served: in order of asking, whatever the target. */
import { NONE } from "../queue-table.js";
import { byAsking } from "./deciders.js";
import type { OrderingRule } from "./ordering-rule.js";

export const firstCome: OrderingRule = {
  name: "first-come",
  keepsGroups: false,

  best(moment, from, to) {
    let best = NONE;
    for (let index = from; index < to; index++) {
      const group = moment.open[index]!;
      if (best !== NONE && moment.lists.head[group]! > best) continue;
      const row = moment.first(group);
      if (row !== NONE && (best === NONE || row < best)) best = row;
    }
    return best;
  },

  why: byAsking,
};
