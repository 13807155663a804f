/**
 * Planned: looks ahead through the night for more requests done by dawn at lower airmass.
 *
 * A request's score is the airmass gained by observing it now rather than later, less the price of the time it
 * takes (slew, dome, filter change and exposures). So a target about to set or past its best goes before one
 * that still climbs, a short request before a long one, and one that needs no move before one that does; the
 * fuller the night, the less a low target is worth. With time to spare, what else would set first goes first.
 * See look-ahead.ts for how the gain and the price come about.
 */
import type { Degrees, Millis } from "../../base/units.js";
import type { PlanPart } from "../decider.js";
import { LookAhead } from "../look-ahead.js";
import type { Moment } from "../moment.js";
import { NONE } from "../queue-table.js";
import { altitudeDegrees, byAsking } from "./deciders.js";
import type { OrderingRule } from "./ordering-rule.js";

export const planned: OrderingRule = {
  name: "planned",
  keepsGroups: false,

  best(moment, from, to) {
    const { durations, table } = moment;
    const lookAhead = LookAhead.of(moment);
    lookAhead.prepare(table.tier[moment.open[from]!]!);
    let best = NONE;
    let bestScore = Number.NEGATIVE_INFINITY;
    for (let index = from; index < to; index++) {
      const group = moment.open[index]!;
      const gain = lookAhead.gain(group);
      if (gain - lookAhead.leastCost(group) < bestScore) continue;
      for (let row = moment.first(group); row !== NONE; row = moment.after(group, row)) {
        if (gain - lookAhead.cost(row, durations.shortestReadyMs) < bestScore) continue;
        const takesMs = lookAhead.takesMs(row, durations.readyMs(row, moment.nowUnixMs));
        const score = gain - lookAhead.costOf(takesMs) - lookAhead.penalty(row, takesMs);
        if (score < bestScore || (score === bestScore && row > best)) continue;
        best = row;
        bestScore = score;
      }
    }
    return best;
  },

  why(moment, row, other) {
    const one = scored(moment, row);
    const two = scored(moment, other);
    if (one.score === two.score) return byAsking(moment, row, other);
    const parts = deciding(partsOf(one, two), one.score - two.score);
    return { by: "plan", score: one.score, otherScore: two.score, parts };
  },
};

/** A row's score and what it is made of. */
interface Scored {
  readonly score: number;
  readonly loss: number;
  readonly lowness: number;
  readonly altitudeDegrees: Degrees;
  readonly takesMs: Millis;
  readonly cost: number;
  readonly penalty: number;
}

function scored(moment: Moment, row: number): Scored {
  const { durations, nowUnixMs, table } = moment;
  const group = table.group[row]!;
  const lookAhead = LookAhead.of(moment);
  lookAhead.prepare(table.tier[group]!);
  const takesMs = lookAhead.takesMs(row, durations.readyMs(row, nowUnixMs));
  const cost = lookAhead.costOf(takesMs);
  const penalty = lookAhead.penalty(row, takesMs);
  return {
    ...lookAhead.partsOfGain(group),
    score: lookAhead.gain(group) - cost - penalty,
    altitudeDegrees: altitudeDegrees(moment, row),
    takesMs,
    cost,
    penalty,
  };
}

function partsOf(one: Scored, two: Scored): PlanPart[] {
  const parts: PlanPart[] = [
    { what: "loss", advantage: one.loss - two.loss, airmasses: one.loss, otherAirmasses: two.loss },
    {
      what: "height",
      advantage: two.lowness - one.lowness,
      altitudeDegrees: one.altitudeDegrees,
      otherAltitudeDegrees: two.altitudeDegrees,
    },
    { what: "setting", advantage: two.penalty - one.penalty },
    { what: "time", advantage: two.cost - one.cost, takesMs: one.takesMs, otherTakesMs: two.takesMs },
  ];
  return parts.filter(({ advantage }) => advantage > 0);
}

/** The greatest first, until exchanging them would turn a lead into a deficit. */
function deciding(favourable: readonly PlanPart[], lead: number): PlanPart[] {
  const sorted = [...favourable].sort((a, b) => b.advantage - a.advantage);
  const named: PlanPart[] = [];
  for (let left = lead; left >= 0 && named.length < sorted.length; ) {
    const part = sorted[named.length]!;
    named.push(part);
    left -= 2 * part.advantage;
  }
  return named;
}
