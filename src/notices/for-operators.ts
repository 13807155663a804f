/** Notices to whoever works the telescope: what to stop, what was forgotten, what has no room. */
import type { Notice } from "../journal/notice.js";
import { toOperators } from "./audience.js";
import type { Handlers, Occasion } from "./telling.js";
import { overdueTelling, shortTelling, stopTelling, unplacedTelling } from "./words/operators.js";

/** Links whose stop is a line to the operator. */
const BY_OPERATOR: readonly string[] = ["by-hand", "folder"];

/** By hand, what was under way has been ended by someone else: the operator is to stop it. */
export function onStopping(occasion: Occasion): Notice[] {
  const { before, after, entry, config } = occasion;
  const { stopping } = after;
  const isNew = stopping !== null && before.taken?.number === stopping.number;
  if (!isNew || !BY_OPERATOR.includes(config.telescope.link)) return [];
  if (after.people.get(entry.by)?.role === "operator") return [];
  const request = before.requests.get(stopping.number);
  return request
    ? toOperators(occasion, stopTelling(request, stopping.reason, after.hold?.people === true))
    : [];
}

export const forOperators = {
  /** Taken for twice as long as it should. */
  "action.overdue": (occasion, { number }) => {
    const request = occasion.after.requests.get(number);
    return request ? toOperators(occasion, overdueTelling(request)) : [];
  },
  /** No room for frames. */
  "disk.short": (occasion, event) => toOperators(occasion, shortTelling(event, occasion.after.waiting.size)),
  /** Frames that were found, for an operator to say whose they are. */
  "frames.unplaced": (occasion, event) => toOperators(occasion, unplacedTelling(event)),
} satisfies Handlers;
