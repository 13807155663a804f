/** "Third in line, starts about 21:40 (21:32–21:55)": an estimate in words. */
import { clockTime, type Phrase, say, strong } from "../base/phrase.js";
import { MINUTE, SECOND, type UtcMillis } from "../base/units.js";
import type { Estimate } from "../forecast/forecast-service.js";
import { timeFrom } from "../notices/words/times.js";
import type { Request } from "../queue/request.js";
import { leastTime } from "./least-time.js";
import type { Services } from "./services.js";
import { nightAt, windowsFrom } from "./sky-view.js";
import { ordinal, percent } from "./words.js";

/** "next in line", "third in line", "being observed now", "waiting", "no turn tonight". */
export function placeWords(estimate: Estimate): string {
  if (estimate.noTurn?.why === "hold") return "waiting";
  if (estimate.place === null) return "no turn tonight";
  if (estimate.place === 0) return "being observed now";
  return estimate.place === 1 ? "next in line" : `${ordinal(estimate.place)} in line`;
}

/** "about 21:40 (21:32–21:55)"; the range only where one of a minute or more was computed. */
export function startWords(estimate: Estimate, now: UtcMillis): Phrase | null {
  const { startUnixMs, earliestUnixMs, latestUnixMs } = estimate;
  if (startUnixMs === null) return null;
  const start = timeFrom(startUnixMs, now);
  if (earliestUnixMs === null || latestUnixMs === null || latestUnixMs - earliestUnixMs < MINUTE) {
    return say`about ${start}`;
  }
  return say`about ${start} (${clockTime(earliestUnixMs)}–${clockTime(latestUnixMs)})`;
}

/** One sentence: when it starts, or why it has no turn tonight and when it may have one. */
export function startSentence(
  estimate: Estimate,
  request: Request,
  services: Services,
  now: UtcMillis,
): Phrase {
  if (estimate.place === 0) return say`The telescope is on it now.`;
  const start = startWords(estimate, now);
  if (start)
    return say`Starts ${start}.${notBeforePhrase(estimate, request, now)}${chancePhrase(estimate, now)}`;
  const all = noTurnPhrase(estimate, request, services, now);
  return say`${all}${allTheSame(estimate)}${laterPhrase(estimate, now)}`;
}

/** "21:40", "now", "waits", "not tonight": for a line in a table. */
export function startCell(estimate: Estimate, now: UtcMillis): Phrase {
  if (estimate.place === 0) return ["now"];
  if (estimate.startUnixMs !== null) return [timeFrom(estimate.startUnixMs, now)];
  if (estimate.noTurn?.why === "hold") return ["waits"];
  return estimate.laterUnixMs === null ? ["not tonight"] : [timeFrom(estimate.laterUnixMs, now)];
}

function noTurnPhrase({ noTurn }: Estimate, request: Request, services: Services, now: UtcMillis): Phrase {
  switch (noTurn?.why) {
    case "hold":
      return services.desk.state.equipment.telescope === "fault"
        ? say`${strong("It waits for the telescope's fault to be mended")}; no time can be given before that.`
        : say`${strong("It waits for the hold to be lifted")}; no time can be given before that.`;
    case "not-before":
      return say`${strong("Not before")} ${timeFrom(noTurn.notBeforeUnixMs, now)}, as was asked.`;
    case "no-window":
      return say`${strong("Not tonight")}: it cannot be observed any more this night.`;
    default:
      return tooShort(request, services, now)
        ? say`${strong("Not tonight")}: the time in which it can still be observed is too short for it.`
        : say`${strong("Tonight is full")}: others fill the time in which it can be observed.`;
  }
}

/** Whether exposing alone takes longer than any stretch that is left tonight. */
function tooShort(request: Request, { config }: Services, now: UtcMillis): boolean {
  const { observatory } = config;
  const from = Math.max(now, request.notBeforeUnixMs ?? now);
  const windows = windowsFrom(request.target, nightAt(now, observatory), observatory, from);
  const longest = Math.max(0, ...windows.map((each) => each.closeUnixMs - each.openUnixMs));
  return leastTime(request, observatory) + observatory.mount.settleSeconds * SECOND > longest;
}

function laterPhrase({ laterUnixMs }: Estimate, now: UtcMillis): Phrase {
  if (laterUnixMs === null) return say` It stays in the queue.`;
  return say` It stays in the queue; its next chance is about ${timeFrom(laterUnixMs, now)}.`;
}

/** A start so soon after its window opens waits for that, not for others. */
const AT_ITS_OPENING = 15 * MINUTE;

function notBeforePhrase(
  { notBeforeUnixMs, startUnixMs }: Estimate,
  request: Request,
  now: UtcMillis,
): Phrase {
  if (notBeforeUnixMs === undefined || startUnixMs === null) return [];
  // Whoever asked for it "not before" knows.
  if (notBeforeUnixMs === request.notBeforeUnixMs || startUnixMs - notBeforeUnixMs > AT_ITS_OPENING)
    return [];
  return say` Not before ${timeFrom(notBeforeUnixMs, now)}, when it can first be observed.`;
}

/** Said only where it is worth worrying about. */
function chancePhrase({ chanceTonight, laterUnixMs }: Estimate, now: UtcMillis): Phrase {
  if (chanceTonight >= 0.95) return [];
  const chance = ` Its chance of running tonight is ${percent(chanceTonight)}`;
  return laterUnixMs === null
    ? [`${chance}.`]
    : say`${chance}; if it does not, about ${timeFrom(laterUnixMs, now)}.`;
}

/** Others may leave, or go faster than planned. */
function allTheSame({ chanceTonight, noTurn }: Estimate): string {
  if (noTurn?.why !== "no-time" || chanceTonight < 0.05) return "";
  return ` It may run all the same: the chance is ${percent(chanceTonight)}.`;
}
