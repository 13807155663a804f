/** Highest first: the target that stands highest now; within a target, in order of asking. */
import type { Moment } from "../moment.js";
import { NONE } from "../queue-table.js";
import { byAltitude } from "./deciders.js";
import type { OrderingRule } from "./ordering-rule.js";

export const highestFirst: OrderingRule = {
  name: "highest-first",
  keepsGroups: true,

  best(moment, from, to) {
    const { lead } = moment;
    const { tier } = moment.table;
    const sameTier = lead.group !== NONE && tier[lead.group] === tier[moment.open[from]!];
    if (sameTier && lead.holds(moment.nowUnixMs, moment.openList)) {
      const row = moment.first(lead.group);
      if (row !== NONE) return row;
    }
    return lookAtAll(moment, from, to);
  },

  why: byAltitude,
};

function lookAtAll(moment: Moment, from: number, to: number): number {
  let best = NONE;
  let bestGroup = NONE;
  let bestSine = Number.NEGATIVE_INFINITY;
  let nextSine = Number.NEGATIVE_INFINITY;
  for (let index = from; index < to; index++) {
    const group = moment.open[index]!;
    const sine = moment.sinAltitude(group);
    if (sine < bestSine && sine <= nextSine) continue;
    const row = sine < bestSine ? NONE : moment.first(group);
    if (row === NONE || (sine === bestSine && row > best)) {
      // What leaves with the excluded row is no rival of those who stay.
      if (!moment.isLastOf(group)) nextSine = Math.max(nextSine, sine);
      continue;
    }
    nextSine = Math.max(nextSine, bestSine);
    best = row;
    bestGroup = group;
    bestSine = sine;
  }
  moment.lead.set(bestGroup, bestSine - nextSine, moment.nowUnixMs, moment.openList);
  return best;
}
