/** When a request's target is at its best tonight, and whether the request waits for that. */
import { type Phrase, say } from "../../base/phrase.js";
import type { Estimate } from "../../estimates/forecast-service.js";
import { airmassWords } from "../../notices/words/amounts.js";
import { timeFrom } from "../../notices/words/times.js";
import type { BestStart } from "../../queue/best-start.js";
import type { Request } from "../../queue/request.js";
import { airmassAtTrue } from "../../sky/airmass.js";
import { bestFor, standsBetter } from "../plan/best-wait.js";
import type { Present } from "../services.js";
import { heightWords } from "./height-words.js";

/**
 * "It is at its best at 02:13, at 68° (airmass 1.08), against 24° (2.43) when it starts."; null where it is not up any
 * more tonight.
 */
export function bestSentence(request: Request, estimate: Estimate | null, present: Present): Phrase | null {
  const best = bestTonight(request, present);
  if (best === null) return null;
  const at = say`${timeFrom(best.bestUnixMs, present.now)}, at ${heightAndAir(best.altitudeDegrees)}`;
  if (request.best)
    return say`It is at its best at ${at}; if it would miss its turn by waiting, it does not wait.`;
  if (!isOffered(request, estimate, present)) return say`It is at its best at ${at}.`;
  const then = estimate?.altitudeDegrees ?? null;
  return then === null
    ? say`It is at its best at ${at}.`
    : say`It is at its best at ${at}, against ${heightAndAir(then)} when it starts.`;
}

/** Whether waiting for its best is worth a button. */
export function isOffered(request: Request, estimate: Estimate | null, present: Present): boolean {
  const best = bestTonight(request, present);
  const start = estimate?.startUnixMs ?? null;
  if (request.best || best === null || start === null) return false;
  return standsBetter(request.target, best, start, present.config.observatory);
}

function bestTonight(request: Request, { now, config }: Present): BestStart | null {
  const earliest = request.best ? request.best.notBeforeUnixMs : request.notBeforeUnixMs;
  return bestFor(request, Math.max(now, earliest ?? now), now, config.observatory);
}

function heightAndAir(altitudeDegrees: number): string {
  return `${heightWords(altitudeDegrees)} (airmass ${airmassWords(airmassAtTrue(altitudeDegrees))})`;
}
