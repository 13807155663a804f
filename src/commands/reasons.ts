/** Why one request runs before another, with the numbers that decided. */
import { clockTime, type Phrase, say } from "../base/phrase.js";
import { MINUTE, SECOND, type UtcMillis } from "../base/units.js";
import type { Decider, NightRun, Turn } from "../forecast/night-run.js";
import { count } from "../notices/words/amounts.js";
import { timeFrom } from "../notices/words/times.js";
import type { RuleName } from "../queue/request.js";
import { airmassAtTrue } from "../sky/airmass.js";
import { airmassWords } from "./words.js";

/** What wording a reason needs to know besides the decider. */
export interface ReasonContext {
  /** Names of the tiers, the first runs first. */
  readonly tiers: readonly string[];
  readonly now: UtcMillis;
}

/** Who was compared, and what decided: `first` runs before `second`. */
export interface Comparison {
  readonly first: number;
  readonly second: number;
  readonly decider: Decider;
}

/**
 * The comparison that tells most about a request's place: the last one that it lost before its own turn,
 * else the one that it won. null when it has no turn, or nothing else could be observed then.
 */
export function decidingComparison(number: number, run: NightRun): Comparison | null {
  const index = run.turns.findIndex((turn) => turn.number === number);
  const before = index < 0 ? run.turns : run.turns.slice(0, index);
  const lost = before.findLast((turn) => turn.aheadOf === number);
  if (lost) return { first: lost.number, second: number, decider: lost.decider };
  const own = run.turns[index];
  return own && own.aheadOf !== null ? { first: number, second: own.aheadOf, decider: own.decider } : null;
}

/**
 * "it stands higher then: 71° (airmass 1.06) against 54° (1.24)": the clause after "… runs before …:".
 * "it" is the one that runs first.
 */
export function deciderClause(decider: Decider, { tiers, now }: ReasonContext): Phrase {
  switch (decider.by) {
    case "only":
      return say`nothing else could be observed then`;
    case "tier":
      return say`tier ${tierName(tiers, decider.tier)} runs before tier ${tierName(tiers, decider.otherTier)}`;
    case "altitude":
      return say`it stands higher then, ${heights(decider.altitudeDegrees, decider.otherAltitudeDegrees)}`;
    case "asked":
      return askedClause(decider.askedUnixMs, decider.otherAskedUnixMs, now);
    case "closing":
      return say`its window closes first, at ${clockTime(decider.closeUnixMs)} against ${clockTime(decider.otherCloseUnixMs)}`;
    case "turn":
      return say`its owner has had ${count(decider.taken, "turn")} tonight against ${count(decider.otherTaken, "turn")}`;
    case "plan":
      return say`the night's plan scores better with it first, ${signed(decider.score)} against ${signed(decider.otherScore)}`;
    case "window":
      return decider.opensUnixMs === null
        ? say`the other can no longer be observed then`
        : say`the other cannot be observed before ${timeFrom(decider.opensUnixMs, now)}`;
    case "not-before":
      return say`the other was asked for not before ${timeFrom(decider.otherNotBeforeUnixMs, now)}`;
    case "too-long":
      return say`the other could not end before its window closes at ${clockTime(decider.closeUnixMs)}`;
  }
}

/** Why a turn came when it did, for a table: the clause against the best of the others. */
export function turnClause(turn: Turn, context: ReasonContext): Phrase {
  if (turn.aheadOf === null) return say`nothing else could be observed then`;
  return deciderClause(turn.decider, context);
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
      "Within a tier, the night is planned ahead so that more requests are done before dawn, at a good height.",
  }[rule];
}

/** What could still move an estimate under a rule, one sentence. */
export function changeSentence(rule: RuleName): string {
  const others = "cloud, a hold or a staff request";
  switch (rule) {
    case "highest-first":
      return `A later request for a higher target may overtake it, and ${others} can delay it.`;
    case "first-come":
      return `Nobody who asks later in the same tier overtakes it; ${others} can delay it.`;
    case "setting-first":
      return `A later request for a target that sets sooner may overtake it, and ${others} can delay it.`;
    case "one-each":
      return `Someone who has had fewer turns tonight may overtake it, and ${others} can delay it.`;
    case "planned":
      return `The plan is made afresh with every request, and ${others} can delay it.`;
  }
}

/** Two that were asked within a minute would show the same time twice. */
function askedClause(asked: UtcMillis, otherAsked: UtcMillis, now: UtcMillis): Phrase {
  const apart = Math.abs(otherAsked - asked);
  if (apart >= MINUTE) {
    return say`it was asked for first, at ${timeFrom(asked, now)} against ${timeFrom(otherAsked, now)}`;
  }
  const seconds = Math.round(apart / SECOND);
  return seconds === 0
    ? say`it was asked for first, though in the same second`
    : say`it was asked for first, ${seconds} s earlier`;
}

function heights(altitude: number, other: number): string {
  // Close pairs get more decimals, so that the numbers said differ as the numbers compared did.
  const digits = Math.abs(altitude - other) < 1 ? 2 : 0;
  const words = (value: number): string => `${value.toFixed(digits)}°`;
  const air = (value: number): string => airmassWords(airmassAtTrue(value));
  return `${words(altitude)} (airmass ${air(altitude)}) against ${words(other)} (${air(other)})`;
}

function signed(score: number): string {
  return score.toFixed(2).replace("-", "−");
}

function tierName(tiers: readonly string[], index: number): string {
  return tiers[index] ?? String(index);
}
