/** "Third in line, starts about 21:40 (21:32–21:55)": an estimate in words. */

import { ordinal } from "../../base/english.js";
import { type Phrase, say } from "../../base/phrase.js";
import type { UtcMillis } from "../../base/units.js";
import type { Estimate } from "../../estimates/forecast-service.js";
import { heldBy } from "../../journal/held-by.js";
import { reasonLine } from "../../notices/words/requests.js";
import { startWithin, timeFrom } from "../../notices/words/times.js";
import type { Request } from "../../queue/request.js";
import type { Present } from "../services.js";
import { noTurnSentence } from "./no-turn-words.js";
import { holdPhrase } from "./telescope-words.js";
import { openingPhrase, waitsForItsTime } from "./wait-words.js";
import { percent } from "./words.js";

/** "next in line", "first in line", "third in line", "being observed now", "waiting", "waits for its time", "no turn tonight". */
export function placeWords(estimate: Estimate): string {
  if (estimate.noTurn?.why === "hold") return "waiting";
  if (estimate.place === null) return "no turn tonight";
  if (estimate.place === 0) return "being observed now";
  if (estimate.next) return "next in line";
  return waitsForItsTime(estimate) ? "waits for its time" : `${ordinal(estimate.place)} in line`;
}

/** "about 21:40 (21:32–21:55)". */
export function startWords(estimate: Estimate, now: UtcMillis): Phrase | null {
  const { startUnixMs } = estimate;
  return startUnixMs === null ? null : say`about ${startWithin({ ...estimate, startUnixMs }, now)}`;
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

/** "21:40 (21:32–21:55)", "19:40 or 05:30", "now", "waits", "not tonight": for a line in a table. */
export function startCell(estimate: Estimate, now: UtcMillis): Phrase {
  if (estimate.place === 0) return ["now"];
  const { startUnixMs, either } = estimate;
  if (either) return say`${timeFrom(either.firstUnixMs, now)} or ${timeFrom(either.otherUnixMs, now)}`;
  if (startUnixMs !== null) return startWithin({ ...estimate, startUnixMs }, now);
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
