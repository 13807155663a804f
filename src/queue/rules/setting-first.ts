/** Setting first: the target whose window closes soonest; where windows close together, the higher one. */
import { NONE } from "../queue-table.js";
import { byAltitude } from "./deciders.js";
import type { OrderingRule } from "./ordering-rule.js";

export const settingFirst: OrderingRule = {
  name: "setting-first",
  keepsGroups: true,

  best(moment, from, to) {
    let best = NONE;
    let bestClose = Number.POSITIVE_INFINITY;
    let bestSine = Number.NEGATIVE_INFINITY;
    for (let index = from; index < to; index++) {
      const group = moment.open[index]!;
      const close = moment.closeUnixMs(group);
      if (close > bestClose) continue;
      const sine = moment.sinAltitude(group);
      if (close === bestClose && sine < bestSine) continue;
      const row = moment.first(group);
      if (row === NONE || (close === bestClose && sine === bestSine && row > best)) continue;
      best = row;
      bestClose = close;
      bestSine = sine;
    }
    return best;
  },

  why(moment, row, other) {
    const { group } = moment.table;
    const closeUnixMs = moment.closeUnixMs(group[row]!);
    const otherCloseUnixMs = moment.closeUnixMs(group[other]!);
    if (closeUnixMs === otherCloseUnixMs) return byAltitude(moment, row, other);
    return { by: "closing", closeUnixMs, otherCloseUnixMs };
  },
};
