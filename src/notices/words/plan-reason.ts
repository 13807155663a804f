/** Why the plan that `planned` follows has one request before another, in the numbers that speak for it. */
import { clockTime, type Phrase, say } from "../../base/phrase.js";
import { MINUTE, type Millis, SECOND, type UtcMillis } from "../../base/units.js";
import type { PlanReason } from "../../queue/decider.js";
import { apparentAltitude } from "../../sky/airmass.js";
import { degrees } from "./amounts.js";
import { apart, secondsApart } from "./apart.js";
import { timeFrom } from "./times.js";

/** "moving to it takes 12 s against 40 s": "it" is the one that runs first. */
export function planClause(why: PlanReason, other: string, now: UtcMillis): Phrase {
  switch (why.what) {
    case "waits":
      return say`${other} waits until ${timeFrom(why.untilUnixMs, now)}, when it stands at ${degrees(apparentAltitude(why.thenDegrees))} instead of ${degrees(apparentAltitude(why.nowDegrees))}`;
    case "no-room":
      return why.takesMs < why.otherTakesMs
        ? say`the night's plan has no room for ${other}, ${shorterClause(why.takesMs, why.otherTakesMs)}`
        : say`the night's plan has no room for ${other}`;
    case "closing":
      return say`it must be done by ${clockTime(why.closeUnixMs)}, and ${other} can still go at ${clockTime(why.otherUnixMs)}`;
    case "airmass":
      return say`the two have less airmass so, ${sums(why.planned, why.exchanged)} in all with their times exchanged`;
    case "near":
      return say`it is nearer, ${moving(why.readyMs, why.otherReadyMs)}`;
    case "whole":
      return say`the night's plan has it first, and exchanging the two would gain nothing`;
  }
}

function sums(planned: number, exchanged: number): string {
  const [one, two] = apart(planned, exchanged, 2) ?? [planned.toFixed(2), exchanged.toFixed(2)];
  return `${one} against ${two}`;
}

function shorterClause(takesMs: Millis, otherTakesMs: Millis): string {
  return `which takes longer, ${pair(otherTakesMs, takesMs)}`;
}

function moving(readyMs: Millis, otherReadyMs: Millis): string {
  return `${pair(readyMs, otherReadyMs)} of moving`;
}

function pair(one: Millis, other: Millis): string {
  const words = [lasting(one), lasting(other)];
  return words[0] === words[1]
    ? `by ${secondsApart(one - other)} of ${words[0]}`
    : `${words[0]} against ${words[1]}`;
}

/** "2 min 10 s", "45 s": whole seconds. */
function lasting(ms: Millis): string {
  const seconds = Math.round(ms / SECOND);
  if (seconds * SECOND < MINUTE) return `${seconds} s`;
  const rest = seconds % 60;
  return `${Math.floor(seconds / 60)} min${rest === 0 ? "" : ` ${rest} s`}`;
}
