/** Estimates that moved, in words. */

import { count } from "../../base/english.js";
import { type Phrase, person, say } from "../../base/phrase.js";
import type { UtcMillis } from "../../base/units.js";
import type { EstimateMove } from "../../journal/events.js";
import type { PersonId, Request } from "../../queue/request.js";
import type { Telling } from "../telling.js";
import { duration, requestName } from "./amounts.js";
import { whenAction } from "./requests.js";
import { startWithin } from "./times.js";

/** A move with the request it is about, and whom of the readers it concerns. */
export interface MovedRequest {
  readonly request: Request;
  readonly move: EstimateMove;
  readonly people: readonly PersonId[];
}

/** Why estimates are told at noon. */
export const CARRIES_OVER = "it carries over into the new night";
const THEY_CARRY_OVER = "They carry over into the new night.";

/** More lines than these are not read on a phone. */
const LONGEST = 15;

/** One notice for all moves that concern the same readers; `atUnixMs` is when it is told. */
export function movedTelling(
  moved: readonly MovedRequest[],
  atUnixMs: UtcMillis,
  readers: readonly PersonId[],
): Telling {
  const [only, ...others] = moved;
  if (only && others.length === 0) {
    return {
      kind: "moved",
      title: `${requestName(only.request)}: ${shiftWords(only.move)}`,
      lines: [sentence(moveLine(only.move, atUnixMs))],
      actions: [whenAction(only.request, readers.length === 1 ? (readers[0] as PersonId) : null)],
    };
  }
  const shared = sharedCause(moved);
  const named = readers.length > 1;
  const shown = moved.slice(0, LONGEST).map(({ request, move, people }) => {
    const whose = named ? people.flatMap((id, index) => [index === 0 ? ", " : " and ", person(id)]) : [];
    return say`${requestName(request)}${whose}: ${moveLine(shared === null ? move : { ...move, because: null }, atUnixMs)}`;
  });
  const left = moved.length - LONGEST;
  return {
    kind: "moved",
    title: `${count(moved.length, "estimate")} moved`,
    lines: [
      ...(shared === null ? [] : [[shared === CARRIES_OVER ? THEY_CARRY_OVER : `Because ${shared}.`]]),
      ...shown,
      ...(left > 0 ? [say`And ${left} more: type /when for yours.`] : []),
    ],
  };
}

/** "starts later", "starts earlier", "tonight after all", "not tonight". */
function shiftWords({ fromUnixMs, startUnixMs }: EstimateMove): string {
  if (startUnixMs === null) return "not tonight";
  if (fromUnixMs === null) return "has a time tonight";
  return startUnixMs > fromUnixMs ? "starts later" : "starts earlier";
}

function sentence([first, ...rest]: Phrase): Phrase {
  return typeof first === "string"
    ? [first.charAt(0).toUpperCase() + first.slice(1), ...rest]
    : [first ?? "", ...rest];
}

/** "now about 22:10, 14 min later: two staff requests came in." */
function moveLine(move: EstimateMove, atUnixMs: UtcMillis): Phrase {
  const because = move.because === null ? "" : `: ${move.because}`;
  const { fromUnixMs, startUnixMs } = move;
  if (startUnixMs === null) return say`no time is left tonight${because}. It stays in the queue.`;
  const start = startWithin({ ...move, startUnixMs }, atUnixMs);
  if (fromUnixMs === null) return say`now about ${start}${because}.`;
  const way = startUnixMs > fromUnixMs ? "later" : "earlier";
  return say`now about ${start}, ${duration(startUnixMs - fromUnixMs)} ${way} than you were told${because}.`;
}

/** The cause that all have, worth saying once; null when they differ or have none. */
function sharedCause(moved: readonly MovedRequest[]): string | null {
  const causes = new Set(moved.map(({ move }) => move.because));
  return causes.size === 1 ? ([...causes][0] as string | null) : null;
}
