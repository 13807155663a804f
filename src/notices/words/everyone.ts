/** What a whole class is told, in words. */

import { count } from "../../base/english.js";
import { type Phrase, person, say, strong } from "../../base/phrase.js";
import { MINUTE, type UtcMillis } from "../../base/units.js";
import type { Hold } from "../../journal/events.js";
import type { PersonId, Request } from "../../queue/request.js";
import type { Telling } from "../telling.js";
import { duration, numberList, requestName } from "./amounts.js";
import { reasonLine } from "./requests.js";
import { timeFrom } from "./times.js";

/** Who decided, as a class may hear it: a member by name, anyone else only as staff or the schedule. */
export type WhoDecided = { readonly member: PersonId } | "staff" | "schedule" | "telescope";

/** Said with every hold, here and on the board. */
export const NO_INTERLOCK =
  "This is no interlock: the machines can still move. Before anyone enters the dome, follow the site's lock-out procedure and let trained staff isolate the drives.";

/**
 * One announcement for all that a class lost by one decision.
 * @param under number of the request that was being observed; null for none
 */
export function cancelledTelling(
  requests: readonly Request[],
  reason: string,
  by: WhoDecided,
  under: number | null,
): Telling {
  const [only, ...others] = requests;
  const one = only && others.length === 0;
  const stopped = one && only.number === under;
  const numbers = requests.map((request) => request.number);
  return {
    kind: "cancelled",
    title: one
      ? `${requestName(only)}: ${stopped ? "stopped" : "cancelled"}`
      : `${count(requests.length, "request")} cancelled`,
    lines: [
      ...(one ? [] : [say`${strong("Cancelled:")} ${numberList(numbers)}.`]),
      say`${reasonLine(reason)} Decided by ${deciderWords(by)}.`,
      stopped
        ? say`It was being observed; ${keptWords(only)}. Ask again with /request when you like.`
        : say`Ask again with /request when you like.`,
    ],
  };
}

function keptWords({ framesDone, frames }: Request): string {
  if (framesDone === 0) return "no frame was finished";
  return `${framesDone} of ${count(frames, "frame")} ${framesDone === 1 ? "is" : "are"} done and kept`;
}

/** The cancellation was undone. */
export function restoredTelling(requests: readonly Request[], by: WhoDecided): Telling {
  const [only, ...others] = requests;
  const one = only && others.length === 0;
  const numbers = numberList(requests.map((request) => request.number));
  return {
    kind: "restored",
    title: one ? `${requestName(only)}: restored` : `${count(requests.length, "request")} restored`,
    lines: [
      say`${numbers} ${one ? "is" : "are"} waiting again, with the same ${one ? "number and time" : "numbers and times"} of asking.`,
      say`The cancellation was undone by ${deciderWords(by)}; nothing to do.`,
    ],
  };
}

/**
 * Nothing new is taken.
 * @param stopped number of the request that was stopped for it; null for none
 */
export function holdTelling(
  hold: Hold,
  by: WhoDecided,
  taken: Request | null,
  stopped: number | null,
): Telling {
  const until =
    hold.untilUnixMs === null
      ? say`until staff resume`
      : say`until ${timeFrom(hold.untilUnixMs, hold.sinceUnixMs)}`;
  return {
    kind: "hold",
    title: "Hold: no new request is taken",
    lines: [
      say`${reasonLine(hold.reason)} It was placed by ${deciderWords(by)} and lasts ${until}.`,
      taken && by === "telescope"
        ? say`#${taken.number} is at the telescope and goes on then; all others wait and keep their order.`
        : taken
          ? say`#${taken.number} is under way and will be finished first; all others wait and keep their order.`
          : say`${stopped === null ? "Requests" : `#${stopped} was stopped at once; all requests`} wait and keep their order; you can go on asking.`,
      [NO_INTERLOCK],
    ],
  };
}

/** Requests are taken again. */
export function resumedTelling(hold: Hold | null, by: WhoDecided, atUnixMs: UtcMillis): Telling {
  const lasted = hold ? atUnixMs - hold.sinceUnixMs : 0;
  const length = lasted >= MINUTE ? ` after ${duration(lasted)}` : "";
  const who = by === "schedule" ? say`Its time was up` : say`It was lifted by ${deciderWords(by)}`;
  return {
    kind: "resumed",
    title: `The hold is over${length}`,
    lines: [say`${who}; requests are taken again. /when says when yours starts.`],
  };
}

/** A member's own words to the class. */
export function announcementTelling(text: string, by: WhoDecided): Telling {
  return { kind: "announcement", title: "Announcement", lines: [[text], say`From ${deciderWords(by)}.`] };
}

/** A class session begins; `untilUnixMs` null: until it is closed by hand. */
export function sessionOpenedTelling(
  className: string,
  untilUnixMs: UtcMillis | null,
  atUnixMs: UtcMillis,
): Telling {
  const end = untilUnixMs === null ? [] : say` It ends at ${timeFrom(untilUnixMs, atUnixMs)}.`;
  return {
    kind: "session",
    title: `${className}: the session is open`,
    lines: [say`Ask with /request; /tonight says what is up.${end}`],
  };
}

/** A class session ends. */
export function sessionClosedTelling(className: string, waiting: number): Telling {
  return {
    kind: "session",
    title: `${className}: the session is over`,
    lines: [
      waiting === 0
        ? say`No requests are waiting.`
        : say`${count(waiting, "request")} of the class ${waiting === 1 ? "waits" : "wait"} on and will still be observed; you are told as you chose.`,
    ],
  };
}

function deciderWords(by: WhoDecided): Phrase {
  if (by === "staff") return say`staff`;
  if (by === "telescope") return say`the telescope itself`;
  return by === "schedule" ? say`the schedule` : [person(by.member)];
}
