/** Which comparison tells most about a request's place, and what each rule does. */

import type { Config } from "../../config/config.js";
import type { Decider, NightRun } from "../../forecast/night-run.js";
import type { RuleName } from "../../queue/request.js";

/** Who was compared, and what decided: `first` runs before `second`. */
export interface Comparison {
  readonly first: number;
  readonly second: number;
  readonly decider: Decider;
}

/**
 * The comparison that tells most about a request's place: the last one that it lost before its own turn,
 * else the one that it won. null when it has no turn, or nothing else could be observed then.
 * @param places as people are told them: a comparison that says the contrary is passed over
 */
export function decidingComparison(
  number: number,
  run: NightRun,
  places: ReadonlyMap<number, number>,
): Comparison | null {
  const place = (each: number): number => places.get(each) ?? Number.POSITIVE_INFINITY;
  const index = run.turns.findIndex((turn) => turn.number === number);
  const before = index < 0 ? run.turns : run.turns.slice(0, index);
  const lost = before.findLast((turn) => turn.aheadOf === number && place(turn.number) <= place(number));
  if (lost) return { first: lost.number, second: number, decider: lost.decider };
  const own = run.turns[index];
  if (!own || own.aheadOf === null || place(own.aheadOf) < place(number)) return null;
  return { first: number, second: own.aheadOf, decider: own.decider };
}

/** What a rule does, one sentence. */
export function ruleSentence(rule: RuleName): string {
  return {
    "highest-first":
      "Within a tier, the target that stands highest runs first; at one target, whoever asked first.",
    "first-come":
      "Within a tier, requests run in the order in which they were asked for, as far as they can be observed.",
    "setting-first": "Within a tier, the target whose window closes first runs first.",
    "one-each":
      "Within a tier, those who have had the fewest turns tonight run first, the highest target among them.",
    planned:
      "Within a tier, the night is planned for as many requests done as can be, then for the least airmass, then for the shortest waits, and whoever was left out on two nights goes before the rest.",
  }[rule];
}

/** What the site asks of a target's height, one sentence after the rule's; empty where it asks nothing. */
export function worthwhileSentence({ queue }: Config): string {
  const { worthwhileAltitudeDegrees } = queue;
  if (worthwhileAltitudeDegrees === null) return "";
  return ` A target below ${worthwhileAltitudeDegrees}° that stands higher later tonight waits for that, where nobody is kept waiting by it.`;
}
