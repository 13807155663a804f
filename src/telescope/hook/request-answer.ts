/** How a request stands, for a program that may be behind the times. */
import type { State } from "../../journal/state.js";
import type { Request } from "../../queue/request.js";
import type { EventAnswer } from "./messages.js";

/** Numbers of the frames that have come since it was last taken, in order. */
export function framesOf({ frames }: State, { number, takenUnixMs }: Request): number[] {
  const since = takenUnixMs ?? Number.POSITIVE_INFINITY;
  return (frames.get(number) ?? [])
    .filter(({ startUnixMs }) => startUnixMs >= since)
    .map(({ index }) => index)
    .sort((a, b) => a - b);
}

/** null for a number that was never given. */
export function requestAnswer(state: State, number: number): EventAnswer["request"] {
  const request = state.requests.get(number);
  if (!request) return null;
  const { frames, reason } = request;
  return { number, state: request.state, frames, framesDone: framesOf(state, request), reason };
}

/** "#12 is cancelled (cloud)." */
export function standingWords(state: State, number: number): string {
  const request = state.requests.get(number);
  if (!request) return `There is no request #${number}.`;
  const why = request.reason === null ? "" : ` (${request.reason})`;
  return request.state === "taken" ? `#${number} is under way.` : `#${number} is ${request.state}${why}.`;
}
