/** What /plan says of a stretch: how much fits, who shares what, what stays up, and what else waits. */

import { count } from "../../base/english.js";
import { type Phrase, say } from "../../base/phrase.js";
import type { Millis, UtcMillis } from "../../base/units.js";
import type { Fitting } from "../../forecast/fitting.js";
import type { Hold } from "../../journal/events.js";
import { duration } from "../../notices/words/amounts.js";
import { timeFrom } from "../../notices/words/times.js";
import { nightOf } from "../../sky/night.js";
import type { Present } from "../services.js";
import { LEAST_ALTITUDE } from "./plan-targets.js";

/** "about 43 requests", "at least 600 requests". */
export function fittingWords({ open, low, median }: Fitting): string {
  return open ? `at least ${count(low, "request")}` : `about ${count(median, "request")}`;
}

/** "38 to 47 requests in 1 h, in 8 nights of 10": what may be relied on. */
export function rangeWords({ open, low, high }: Fitting, length: Millis): string {
  const many = low === high ? count(low, "request") : `${low} to ${count(high, "request")}`;
  return open
    ? `at least ${count(low, "request")} in ${duration(length)}, in 9 nights of 10`
    : `${many} in ${duration(length)}, in 8 nights of 10`;
}

/**
 * How the class shares the targets and the requests, one sentence.
 * @param perTarget how many students take each target
 */
export function splitWords(perTarget: readonly number[], students: number, { low }: Fitting): string {
  const rounds = Math.floor(low / students);
  if (students === 1) return `One student, with time for ${roundly(Math.max(1, rounds))}.`;
  const most = Math.max(...perTarget);
  const least = Math.min(...perTarget);
  const each = most === least ? `${most}` : `${least} or ${most}`;
  const share = `${each} ${most === 1 ? "student" : "students"} to a target`;
  if (rounds >= 2) return `${share}, with time for ${roundly(rounds)} each.`;
  const together = Math.ceil(students / Math.max(1, low));
  if (together === 1) return `${share}, each with a request of their own.`;
  return `${share}, ${inGroups(together)}: not everyone fits with a request of their own.`;
}

/** Beyond twenty nobody counts, and the forecast is not that exact. */
function roundly(requests: number): string {
  return requests <= 20 ? count(requests, "request") : `about ${Math.round(requests / 10) * 10} requests`;
}

function inGroups(size: number): string {
  return { 2: "in pairs", 3: "in threes", 4: "in fours" }[size] ?? `in groups of ${size}`;
}

/**
 * Which of the targets that stay high are named, one sentence.
 * @param found how many there are of them
 */
export function staysWords(chosen: number, found: number): string {
  const high = `above ${LEAST_ALTITUDE}° all through`;
  if (found > chosen) {
    const these = chosen === 1 ? "this one suits best" : `these ${chosen} are spread best`;
    return `${found} well-known targets stay ${high}; ${these}.`;
  }
  const stay = chosen === 1 ? "It stays" : `${chosen === 2 ? "Both" : `All ${chosen}`} stay`;
  return `${stay} ${high}; no other well-known target does.`;
}

/** For tonight, what the plan leaves out of account: requests that wait, and a hold that is not over by then. */
export function leftOut(nightDate: string, fromUnixMs: UtcMillis, present: Present): Phrase[] {
  const { config, desk, now } = present;
  if (nightOf(now, config.observatory.site.timeZone).date !== nightDate) return [];
  const { hold } = desk.state;
  const lasts = hold !== null && (hold.untilUnixMs ?? Number.POSITIVE_INFINITY) > fromUnixMs;
  return [...waitingLine(present), ...(lasts ? [holdLine(hold, now)] : [])];
}

function waitingLine({ forecast }: Present): Phrase[] {
  const { turns } = forecast.ifLifted();
  if (turns.length === 0) return [];
  const workMs = turns.reduce((sum, { times }) => sum + times.totalMs, 0);
  const [wait, they] = turns.length === 1 ? ["waits", "it is"] : ["wait", "they are"];
  return [
    say`${count(turns.length, "request")} already ${wait} for tonight, about ${duration(workMs)} of work; ${they} not counted.`,
  ];
}

function holdLine({ untilUnixMs }: Hold, now: UtcMillis): Phrase {
  const until = untilUnixMs === null ? say`until staff resume` : say`until ${timeFrom(untilUnixMs, now)}`;
  return say`The telescope is on hold now, ${until}; the plan is made as if that were over.`;
}
