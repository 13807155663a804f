/** Why the rule `planned` puts one request before another, in the numbers that its score is made of. */
import { MINUTE, type Millis, SECOND } from "../../base/units.js";
import type { Decider, PlanPart } from "../../queue/decider.js";
import { apart, heightsApart, secondsApart } from "./apart.js";

/** "it takes less time, 2 min 10 s against 2 min 12 s": "it" is the one that runs first. */
export function planClause({ parts }: Extract<Decider, { by: "plan" }>): string {
  return parts.length === 0
    ? "the night's plan scores a shade better so"
    : parts.map(partClause).join("; and ");
}

function partClause(part: PlanPart): string {
  switch (part.what) {
    case "loss":
      return lossClause(part.airmasses, part.otherAirmasses);
    case "height":
      return `it stands higher then, ${heightsApart(part.altitudeDegrees, part.otherAltitudeDegrees)}`;
    case "setting":
      return "the other would take so long that a request for a target that sets sooner would be lost";
    case "time":
      return timeClause(part.takesMs, part.otherTakesMs);
  }
}

/** Waiting costs airmass where a target sinks or its window closes, and saves some where it climbs. */
function lossClause(airmasses: number, other: number): string {
  const words = apart(airmasses, other, 2);
  if (words === null) return "it would lose a little more airmass by waiting";
  const [mine, theirs] = [words[0].replace("−", ""), words[1].replace("−", "")];
  if (other >= 0) return `it would lose more by waiting, ${mine} airmass against ${theirs}`;
  return airmasses < 0
    ? `it would gain less by waiting, ${mine} airmass against ${theirs}`
    : `it would lose ${mine} airmass by waiting, and the other would gain ${theirs}`;
}

function timeClause(takesMs: Millis, otherTakesMs: Millis): string {
  const [one, other] = [lasting(takesMs), lasting(otherTakesMs)];
  return one === other
    ? `it takes less time, by ${secondsApart(otherTakesMs - takesMs)} of ${one}`
    : `it takes less time, ${one} against ${other}`;
}

/** "2 min 10 s", "45 s": whole seconds. */
function lasting(ms: Millis): string {
  const seconds = Math.round(ms / SECOND);
  if (seconds * SECOND < MINUTE) return `${seconds} s`;
  const rest = seconds % 60;
  return `${Math.floor(seconds / 60)} min${rest === 0 ? "" : ` ${rest} s`}`;
}
