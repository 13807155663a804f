/** Whom "you are next" is true of. */
import { MINUTE, type Millis, SECOND } from "../base/units.js";
import type { Estimate } from "./forecast-service.js";
import type { ForeseenNight } from "./foreseen-night.js";

/** Whose turn comes within this, and before all others', is next. */
export const NEXT_WITHIN: Millis = 15 * MINUTE;

/**
 * Nothing stands before it, by the start that is told as by the run itself, and it starts within a quarter of an
 * hour or right after the one under way. Nobody is next during a hold.
 * @param estimate as it is told
 */
export function isNext({ number, place, startUnixMs }: Estimate, { input, run }: ForeseenNight): boolean {
  const [first] = run.turns;
  if (place !== 1 || startUnixMs === null || first?.number !== number) return false;
  const { current, holdUntilUnixMs, nowUnixMs } = input;
  if (holdUntilUnixMs !== null) return false;
  if (startUnixMs <= nowUnixMs + NEXT_WITHIN) return true;
  if (current === null) return false;
  return first.takenUnixMs - current.freeUnixMs < SECOND && startUnixMs <= current.freeUnixMs + NEXT_WITHIN;
}
