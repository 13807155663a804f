/** Why a request has no turn tonight, and when it may have one. */
import { type Phrase, say, strong } from "../../base/phrase.js";
import { SECOND, type UtcMillis } from "../../base/units.js";
import type { Estimate } from "../../estimates/forecast-service.js";
import { heldBy } from "../../journal/held-by.js";
import { awaited } from "../../notices/words/held.js";
import { timeFrom } from "../../notices/words/times.js";
import { leastTime } from "../../queue/least-time.js";
import type { Request } from "../../queue/request.js";
import { nightAt, windowsFrom } from "../plan/sky-view.js";
import type { Present, Services } from "../services.js";
import { nightClause } from "./obstacle-words.js";
import { percent } from "./words.js";

/** One sentence or two. */
export function noTurnSentence(estimate: Estimate, request: Request, present: Present): Phrase {
  const { noTurn } = estimate;
  const { now } = present;
  switch (noTurn?.why) {
    case "hold":
      return heldSentence(estimate, present);
    case "not-before":
      return say`${strong("Not before")} ${timeFrom(noTurn.notBeforeUnixMs, now)}, as was asked.${laterPhrase(estimate, "", now)}`;
    case "no-window":
      return say`${strong("Not tonight")}: ${closedClause(request, now, present)}.${laterPhrase(estimate, NOR_LATER, now)}`;
    default:
      return noTimeSentence(estimate, request, present);
  }
}

/** "it can no longer be observed", "it is too near the Moon all night …": why no window is left after an instant. */
export function closedClause(
  { target, notBeforeUnixMs }: Request,
  unixMs: UtcMillis,
  { config }: Services,
  subject = "it",
): string {
  const { observatory } = config;
  const night = nightAt(unixMs, observatory);
  const from = Math.max(unixMs, notBeforeUnixMs ?? unixMs);
  const whole = nightClause(target, night, from, observatory, subject);
  if (whole !== null) return whole;
  const isOver = windowsFrom(target, night, observatory, unixMs).length === 0;
  return isOver
    ? `${subject} can no longer be observed`
    : `${subject} cannot be observed after the time that was asked for`;
}

/** Whether exposing alone takes longer than any stretch that is left tonight. */
export function isTooShort(request: Request, { config, now }: Present): boolean {
  const { observatory } = config;
  const from = Math.max(now, request.notBeforeUnixMs ?? now);
  const windows = windowsFrom(request.target, nightAt(now, observatory), observatory, from);
  const longest = Math.max(0, ...windows.map((each) => each.closeUnixMs - each.openUnixMs));
  return leastTime(request, observatory) + observatory.mount.settleSeconds * SECOND > longest;
}

const NOR_LATER = "It has no turn in the next seven nights either.";

function heldSentence(estimate: Estimate, { desk, now }: Present): Phrase {
  const { laterUnixMs } = estimate;
  const chance = heldChance(estimate);
  const { hold } = desk.state;
  const machines = heldBy(desk.state);
  if (machines !== null)
    return say`${strong(`It waits for ${awaited(machines)}`)}; no time can be given before that.${chance}`;
  if (laterUnixMs !== null)
    return say`${strong("It waits for the hold to end")}; its next chance is about ${timeFrom(laterUnixMs, now)}.`;
  return hold?.untilUnixMs
    ? say`${strong("It waits for the hold to end")}.${chance}`
    : say`${strong("It waits for the hold to be lifted")}; no time can be given before that.${chance}`;
}

/** Said where a spread has been worked out and it is worth worrying about. */
function heldChance({ chanceTonight }: Estimate): string {
  if (chanceTonight === 0 || chanceTonight >= 0.95) return "";
  return ` Its chance of running tonight is ${percent(chanceTonight)}.`;
}

function noTimeSentence(estimate: Estimate, request: Request, present: Present): Phrase {
  const { now } = present;
  if (isTooShort(request, present)) {
    const help = "It does not fit in the next seven nights either: ask for fewer or shorter frames.";
    return say`${strong("Not tonight")}: the time in which it can still be observed is too short for it.${allTheSame(estimate)}${laterPhrase(estimate, help, now)}`;
  }
  return say`${strong("Tonight is full")}: others fill the time in which it can be observed.${allTheSame(estimate)}${laterPhrase(estimate, `${NOR_LATER} Fewer or shorter frames fit sooner.`, now)}`;
}

/** Where it stands after tonight; `none` is said when the week to come has nothing for it. */
function laterPhrase({ laterUnixMs, notThisWeek }: Estimate, none: string, now: UtcMillis): Phrase {
  if (laterUnixMs !== null)
    return say` It stays in the queue; its next chance is about ${timeFrom(laterUnixMs, now)}.`;
  return [notThisWeek && none !== "" ? ` ${none}` : " It stays in the queue."];
}

/** Others may leave, or go faster than planned. */
function allTheSame({ chanceTonight, noTurn }: Estimate): string {
  if (noTurn?.why !== "no-time" || chanceTonight < 0.05) return "";
  return ` It may run all the same: the chance is ${percent(chanceTonight)}.`;
}
