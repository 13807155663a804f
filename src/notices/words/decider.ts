/** What put one request before another, one clause with the numbers that decided. */

import { spelled } from "../../base/english.js";
import { clockTime, type Phrase, say } from "../../base/phrase.js";
import { MINUTE, SECOND, type UtcMillis } from "../../base/units.js";
import type { Decider } from "../../queue/decider.js";
import { apparentAltitude } from "../../sky/airmass.js";
import { degrees } from "./amounts.js";
import { heightsApart, secondsApart } from "./apart.js";
import { planClause } from "./plan-reason.js";
import { timeFrom } from "./times.js";

/** What wording a reason needs to know besides the decider. */
export interface ReasonContext {
  /** Names of the tiers, the first runs first. */
  readonly tiers: readonly string[];
  readonly now: UtcMillis;
  /** What the one that runs later is called; "the other" when left out. */
  readonly other?: string;
}

/**
 * "it stands higher then: 71° (airmass 1.06) against 54° (1.24)": the clause after "… runs before …:".
 * "it" is the one that runs first.
 */
export function deciderClause(decider: Decider, context: ReasonContext): Phrase {
  const { tiers, now, other = "the other" } = context;
  switch (decider.by) {
    case "only":
      return say`nothing else could be observed then`;
    case "tier":
      return say`tier ${tierName(tiers, decider.tier)} runs before tier ${tierName(tiers, decider.otherTier)}`;
    case "altitude":
      return say`it stands higher then, ${heightsApart(decider.altitudeDegrees, decider.otherAltitudeDegrees)}`;
    case "asked":
      return askedClause(decider.askedUnixMs, decider.otherAskedUnixMs, now);
    case "closing":
      return closingClause(decider.closeUnixMs, decider.otherCloseUnixMs);
    case "turn":
      return say`its owner has had ${turns(decider.taken)} tonight, the other's owner ${inLetters(decider.otherTaken)}`;
    case "plan":
      return planClause(decider.why, other, now);
    case "window":
      return decider.opensUnixMs === null
        ? say`${other} can no longer be observed then`
        : say`${other} cannot be observed before ${timeFrom(decider.opensUnixMs, now)}`;
    case "not-before":
      return say`${other} was asked for not before ${timeFrom(decider.otherNotBeforeUnixMs, now)}`;
    case "low":
      return say`${other} stands at ${degrees(apparentAltitude(decider.altitudeDegrees))} then, and waits until ${timeFrom(decider.untilUnixMs, now)} to stand higher, which keeps nobody waiting`;
    case "too-long":
      return say`${other} could not end before its window closes at ${clockTime(decider.closeUnixMs)}`;
  }
}

/** Two that were asked within a minute would show the same time twice. */
function askedClause(asked: UtcMillis, otherAsked: UtcMillis, now: UtcMillis): Phrase {
  const apart = Math.abs(otherAsked - asked);
  if (apart >= MINUTE) {
    return say`it was asked for first, at ${timeFrom(asked, now)} against ${timeFrom(otherAsked, now)}`;
  }
  return apart < SECOND
    ? say`it was asked for first, though in the same second`
    : say`it was asked for first, ${secondsApart(apart)} earlier`;
}

/** Two that close within a minute would show the same time twice. */
function closingClause(closes: UtcMillis, otherCloses: UtcMillis): Phrase {
  const apart = otherCloses - closes;
  if (apart >= MINUTE)
    return say`its window closes first, at ${clockTime(closes)} against ${clockTime(otherCloses)}`;
  return say`its window closes first, at ${clockTime(closes)}, ${secondsApart(apart)} before the other's`;
}

/** "no turn", "one turn", "two turns". */
function turns(taken: number): string {
  return `${inLetters(taken)} ${taken > 1 ? "turns" : "turn"}`;
}

function inLetters(number: number): string {
  return spelled(number, "", "").trim();
}

function tierName(tiers: readonly string[], index: number): string {
  return tiers[index] ?? String(index);
}
