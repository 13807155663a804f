/** What happens to single requests, in words. */
import type { Button } from "../../base/button.js";
import { clockTime, type Phrase, say, strong } from "../../base/phrase.js";
import type { UtcMillis } from "../../base/units.js";
import type { Overtaken } from "../../journal/events.js";
import type { PersonId, Request } from "../../queue/request.js";
import { apparentAltitude } from "../../sky/airmass.js";
import type { Telling } from "../telling.js";
import { degrees, requestName, wishWords } from "./amounts.js";
import { askAgain } from "./completed.js";
import { deciderClause } from "./decider.js";
import { startWithin, type TellableStart, timeFrom } from "./times.js";

/** The telescope has begun to move for it. */
export function takenTelling(
  request: Request,
  taken: { readonly freeUnixMs: UtcMillis; readonly altitudeDegrees: number; readonly airmass: number },
): Telling {
  return {
    kind: "taken",
    title: `${requestName(request)}: the telescope is moving`,
    lines: [
      say`${strong(wishWords(request))}; done about ${clockTime(taken.freeUnixMs)}.`,
      say`It stands at ${degrees(apparentAltitude(taken.altitudeDegrees))}${airmassClause(taken.airmass)}.`,
    ],
  };
}

/** Nothing below the horizon, where a person may have sent a telescope all the same. */
function airmassClause(airmass: number): string {
  return Number.isFinite(airmass) ? `, airmass ${airmass.toFixed(2)}` : "";
}

/** Tried, without a usable frame. */
export function failedTelling(request: Request, reason: string, onlyFor: PersonId | null): Telling {
  return {
    kind: "failed",
    title: `${requestName(request)}: failed`,
    lines: [reasonLine(reason), say`Ask again, or ask the instructor to put it back with its place kept.`],
    actions: [askAgain(request, onlyFor)],
  };
}

/** Back to waiting. @param stopped it was being observed */
export function returnedTelling(
  request: Request,
  reason: string,
  stopped: boolean,
  onlyFor: PersonId | null,
): Telling {
  return {
    kind: "returned",
    title: `${requestName(request)}: ${stopped ? "stopped, and " : ""}back in the queue`,
    lines: [reasonLine(reason), say`It keeps its number and its time of asking; nothing to do.`],
    actions: [whenAction(request, onlyFor)],
  };
}

/** Its owner withdrew a request that others had joined. */
export function withdrawnTelling(request: Request): Telling {
  return {
    kind: "cancelled",
    title: `${requestName(request)}: withdrawn`,
    lines: [say`Its owner withdrew it. If you still want it, ask for it yourself.`],
    actions: [askAgain(request, null)],
  };
}

/** The owner left; the first who had joined owns it now. */
export function inheritedTelling(request: Request, onlyFor: PersonId | null): Telling {
  return {
    kind: "restored",
    title: `${requestName(request)}: now yours`,
    lines: [say`The one who asked left it; it goes on in your name, with its number and its time of asking.`],
    actions: [whenAction(request, onlyFor)],
  };
}

/**
 * First in the run order.
 * @param after number of the request being observed now; null for none
 */
export function nextTelling(
  request: Request,
  start: TellableStart,
  atUnixMs: UtcMillis,
  after: number | null,
  onlyFor: PersonId | null,
): Telling {
  const once = after === null ? "" : `, once #${after} is done`;
  return {
    kind: "next",
    title: `${requestName(request)}: next`,
    lines: [say`You are next: it starts about ${startWithin(start, atUnixMs)}${once}.`],
    actions: [aboutIt("withdraw", "Withdraw", request, onlyFor)],
  };
}

/**
 * Another runs before one whose owner had been told "you are next".
 * @param other what the other one is called to these readers
 */
export function overtakenTelling(
  request: Request,
  { startUnixMs, decider, next, by, ...range }: Overtaken,
  { other, tiers, atUnixMs }: { other: string; tiers: readonly string[]; atUnixMs: UtcMillis },
  onlyFor: PersonId | null,
): Telling {
  const name = `#${request.number}`;
  const why =
    decider === null
      ? say`it was chosen at the telescope`
      : deciderClause(decider, { tiers, now: atUnixMs, other: name });
  const start = startUnixMs === null ? null : startWithin({ startUnixMs, ...range }, atUnixMs);
  const then = next ? say`You are next after it` : say`Yours runs later`;
  return {
    kind: "moved",
    title: `${requestName(request)}: ${next ? "next but one" : "no longer next"}`,
    lines: [
      say`You were next, but ${other} runs first: ${why}.`,
      start === null ? say`No time is left for yours tonight.` : say`${then}: it starts about ${start}.`,
    ],
    actions: [whenAction(request, onlyFor)],
  };
}

/** It would have missed its turn by waiting for its target's best. @param was as it waited */
export function noWaitTelling(
  request: Request,
  was: Request | undefined,
  startUnixMs: UtcMillis,
  atUnixMs: UtcMillis,
  onlyFor: PersonId | null,
): Telling {
  const best = was?.notBeforeUnixMs ?? null;
  return {
    kind: "moved",
    title: `${requestName(request)}: does not wait for its best`,
    lines: [
      best === null
        ? say`It would have no turn tonight by waiting.`
        : say`Waiting until ${timeFrom(best, atUnixMs)}, when its target stands best, it would hardly have a turn tonight.`,
      say`So it runs as soon as it can: about ${timeFrom(startUnixMs, atUnixMs)}.`,
    ],
    actions: [whenAction(request, onlyFor)],
  };
}

/** Asks for the estimate and its reason. */
export function whenAction(request: Pick<Request, "number">, onlyFor: PersonId | null): Button {
  return aboutIt("when", "When?", request, onlyFor);
}

function aboutIt(
  command: string,
  label: string,
  { number }: Pick<Request, "number">,
  onlyFor: PersonId | null,
): Button {
  return { command, options: { request: number }, label, onlyFor, about: number };
}

/** A person's own words as a sentence. */
export function reasonLine(reason: string): Phrase {
  const text = reason.trim();
  if (text === "") return say`No reason was given.`;
  return say`Reason: ${text}${/[.!?…]$/.test(text) ? "" : "."}`;
}
