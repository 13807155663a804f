/**
 * Planned: looks ahead through the night for more requests done by dawn at lower airmass.
 *
 * A request's score is the airmass gained by observing it now rather than later, less the price of the time it
 * takes (slew, dome, filter change and exposures). So a target about to set or past its best goes before one
 * that still climbs, a short request before a long one, and one that needs no move before one that does; the
 * fuller the night, the less a low target is worth. See look-ahead.ts for how the gain and the price come about.
 */
import { LookAhead } from "../look-ahead.js";
import type { Moment } from "../moment.js";
import { NONE } from "../queue-table.js";
import type { OrderingRule } from "./ordering-rule.js";
import { byAsking } from "./reasons.js";

export const planned: OrderingRule = {
  name: "planned",
  keepsGroups: false,

  best(moment, from, to) {
    const { durations, table } = moment;
    const lookAhead = LookAhead.of(moment);
    lookAhead.prepare(table.groups[moment.open[from]!]!.tier);
    let best = NONE;
    let bestScore = Number.NEGATIVE_INFINITY;
    for (let index = from; index < to; index++) {
      const group = moment.open[index]!;
      const gain = lookAhead.gain(group);
      if (gain - lookAhead.leastCost(group) < bestScore) continue;
      for (let row = moment.first(group); row !== NONE; row = moment.after(group, row)) {
        if (gain - lookAhead.cost(row, durations.shortestReadyMs) < bestScore) continue;
        const score = gain - exactCost(lookAhead, moment, row);
        if (score < bestScore || (score === bestScore && row > best)) continue;
        best = row;
        bestScore = score;
      }
    }
    return best;
  },

  why(moment, row, other) {
    const score = scoreOf(moment, row);
    const otherScore = scoreOf(moment, other);
    return score === otherScore ? byAsking(moment, row, other) : { by: "plan", score, otherScore };
  },
};

function scoreOf(moment: Moment, row: number): number {
  const { group, groups } = moment.table;
  const lookAhead = LookAhead.of(moment);
  lookAhead.prepare(groups[group[row]!]!.tier);
  return lookAhead.gain(group[row]!) - exactCost(lookAhead, moment, row);
}

function exactCost(lookAhead: LookAhead, { durations, nowUnixMs }: Moment, row: number): number {
  return lookAhead.cost(row, durations.readyMs(row, nowUnixMs));
}
