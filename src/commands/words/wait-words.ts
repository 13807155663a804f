/** What a request waits for when it is neither others nor staff: its target's window, or the time that was asked for. */

import { type Phrase, say } from "../../base/phrase.js";
import { MINUTE, SECOND } from "../../base/units.js";
import type { Estimate } from "../../estimates/forecast-service.js";
import { heldBy } from "../../journal/held-by.js";
import { timeFrom } from "../../notices/words/times.js";
import type { LimitName } from "../../observatory/limit.js";
import { limitAt } from "../../observatory/window.js";
import type { Request } from "../../queue/request.js";
import type { Present, Services } from "../services.js";

/** A start so soon after its window opens, or its "not before" passes, waits for that more than for others. */
const AT_ITS_OPENING = 15 * MINUTE;

/** Whether its start is close upon the time that it waits for, or nobody else stands before it. */
export function startsAtItsTime({ notBeforeUnixMs, startUnixMs, place }: Estimate): boolean {
  if (notBeforeUnixMs === undefined || startUnixMs === null) return false;
  if (place === 1) return true;
  return startUnixMs - notBeforeUnixMs <= AT_ITS_OPENING;
}

/** Whether it is taken the moment its time has come: nobody who runs before holds it up. */
export function waitsForItsTime(estimate: Estimate): boolean {
  const { notBeforeUnixMs, turn } = estimate;
  if (notBeforeUnixMs === undefined || turn === null) return false;
  return startsAtItsTime(estimate) && turn.takenUnixMs - notBeforeUnixMs < SECOND;
}

/** "until 22:12, when it stands high enough", "for 23:00, as you asked"; null where it waits for neither. */
export function waitClause(
  estimate: Estimate,
  request: Request,
  own: boolean,
  { config, now }: Present,
): Phrase | null {
  const { notBeforeUnixMs } = estimate;
  if (notBeforeUnixMs === undefined || !startsAtItsTime(estimate)) return null;
  const time = timeFrom(notBeforeUnixMs, now);
  const asked = `as ${own ? "you" : "its owner"} asked`;
  if (isAsAsked(estimate, request))
    return request.best ? say`for its best, from ${time}, ${asked}` : say`for ${time}, ${asked}`;
  const limit = limitAt(request.target, notBeforeUnixMs - SECOND, config.observatory);
  if (limit === null && config.queue.worthwhileAltitudeDegrees !== null)
    return say`until ${time}, to stand higher; that keeps nobody waiting`;
  return say`until ${time}, when ${openingClause(limit)}`;
}

/** "It waits until 22:12, when it stands high enough."; null where it waits for no time. */
export function waitSentence(
  estimate: Estimate,
  request: Request,
  own: boolean,
  present: Present,
): Phrase | null {
  const waits = waitClause(estimate, request, own, present);
  return waits === null ? null : say`It waits ${waits}.`;
}

/** " It waits until 22:12, when it stands high enough."; empty where it waits for no window. */
export function openingPhrase(estimate: Estimate, request: Request, present: Present): Phrase {
  const waits = isAsAsked(estimate, request) ? null : waitSentence(estimate, request, false, present);
  return waits === null ? [] : say` ${waits}`;
}

/** "It waits for 23:00, as you asked."; null where it does not wait for a time that was asked for. */
export function asAskedSentence(
  estimate: Estimate,
  request: Request,
  own: boolean,
  present: Present,
): Phrase | null {
  return isAsAsked(estimate, request) ? waitSentence(estimate, request, own, present) : null;
}

/** "if the hold were lifted now", "if the fault were mended now", "if the dome were released now". */
export function ifLiftedWords({ desk }: Services): string {
  const machines = heldBy(desk.state);
  if (machines === null) return "if the hold were lifted now";
  if (machines === "no-room") return "if the disk had room now";
  return machines === "dome-kept-shut" ? "if the dome were released now" : "if the fault were mended now";
}

function isAsAsked({ notBeforeUnixMs }: Estimate, request: Request): boolean {
  return notBeforeUnixMs === request.notBeforeUnixMs;
}

/** What has come about when a limit lifts. */
const LIFTED: Readonly<Record<LimitName, string>> = {
  "below-limit": "it stands high enough",
  mask: "it clears the trees and walls",
  "sun-up": "it is dark enough",
  "near-moon": "it is far enough from the Moon",
  "near-sun": "it is far enough from the Sun",
  "hour-angle": "it comes within the mount's reach",
  "zenith-hole": "it has passed the zenith",
};

/** "it stands high enough"; of no limit in particular, that it can be observed. */
export function openingClause(limit: LimitName | null): string {
  return limit === null ? "it can be observed" : LIFTED[limit];
}
