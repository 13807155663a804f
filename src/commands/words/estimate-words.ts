/** "Third in line, starts about 21:40 (21:32–21:55)": an estimate in words. */

import { ordinal } from "../../base/english.js";
import { clockTime, type Phrase, say } from "../../base/phrase.js";
import { MINUTE, type UtcMillis } from "../../base/units.js";
import type { Estimate } from "../../estimates/forecast-service.js";
import { heldBy } from "../../journal/held-by.js";
import { reasonLine } from "../../notices/words/requests.js";
import { timeFrom } from "../../notices/words/times.js";
import type { Request } from "../../queue/request.js";
import type { Present } from "../services.js";
import { noTurnSentence } from "./no-turn-words.js";
import { holdPhrase } from "./telescope-words.js";
import { openingPhrase, waitsForItsTime } from "./wait-words.js";
import { percent } from "./words.js";

/** A narrower range tells nobody to come sooner or later. */
const WORTH_A_RANGE = 5 * MINUTE;

/** "next in line", "third in line", "being observed now", "waiting", "waits for its time", "no turn tonight". */
export function placeWords(estimate: Estimate): string {
  if (estimate.noTurn?.why === "hold") return "waiting";
  if (estimate.place === null) return "no turn tonight";
  if (estimate.place === 0) return "being observed now";
  if (estimate.place === 1) return "next in line";
  return waitsForItsTime(estimate) ? "waits for its time" : `${ordinal(estimate.place)} in line`;
}

/** "about 21:40 (21:32–21:55)"; the range only where it is worth reading. */
export function startWords(estimate: Estimate, now: UtcMillis): Phrase | null {
  const { startUnixMs, earliestUnixMs, latestUnixMs } = estimate;
  if (startUnixMs === null) return null;
  const start = timeFrom(startUnixMs, now);
  if (earliestUnixMs === null || latestUnixMs === null || latestUnixMs - earliestUnixMs < WORTH_A_RANGE) {
    return say`about ${start}`;
  }
  return say`about ${start} (${clockTime(earliestUnixMs)}–${clockTime(latestUnixMs)})`;
}

/** When it starts, or why it has no turn tonight and when it may have one. */
export function startSentence(estimate: Estimate, request: Request, present: Present): Phrase {
  if (estimate.place === 0) return say`The telescope is on it now.`;
  const start = startWords(estimate, present.now);
  if (start === null) return noTurnSentence(estimate, request, present);
  return say`Starts ${start}.${openingPhrase(estimate, request, present)}${chancePhrase(estimate, present.now)}`;
}

/** The same, with the hold if there is one. */
export function startLines(estimate: Estimate, request: Request, present: Present): Phrase[] {
  const start = startSentence(estimate, request, present);
  const { hold } = present.desk.state;
  if (hold === null || heldBy(present.desk.state) !== null) return [start];
  if (estimate.noTurn?.why === "hold" && hold.untilUnixMs === null)
    return [say`${start} ${reasonLine(hold.reason)}`];
  return [start, holdPhrase(present) ?? []];
}

/** "21:40", "now", "waits", "not tonight": for a line in a table. */
export function startCell(estimate: Estimate, now: UtcMillis): Phrase {
  if (estimate.place === 0) return ["now"];
  if (estimate.startUnixMs !== null) return [timeFrom(estimate.startUnixMs, now)];
  if (estimate.noTurn?.why === "hold") return ["waits"];
  return estimate.laterUnixMs === null ? ["not tonight"] : [timeFrom(estimate.laterUnixMs, now)];
}

/** Said only where it is worth worrying about. */
function chancePhrase({ chanceTonight, laterUnixMs }: Estimate, now: UtcMillis): Phrase {
  if (chanceTonight >= 0.95) return [];
  const chance = ` Its chance of running tonight is ${percent(chanceTonight)}`;
  return laterUnixMs === null
    ? [`${chance}.`]
    : say`${chance}; if it does not, about ${timeFrom(laterUnixMs, now)}.`;
}
