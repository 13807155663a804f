/**
 * What a plan is worth. In words: as many requests as can be done, those of a smaller tier first; of such plans the
 * one with the lowest airmass in all, where an hour in which the telescope stands idle counts as 0.3 airmass for
 * each request that could have been taken meanwhile; of equal ones the one in which people wait less.
 *
 * The weights are our own; they were chosen on seeded nights (`npm run plans`).
 */
import { HOUR, MINUTE, type Millis } from "../../base/units.js";
import { airmassAtTrue } from "../../sky/airmass.js";

/** In airmasses: more than the airmasses and waits of a long queue come to. */
export const DONE = 1e4;
/** Left out on two nights already, a request is worth more than any number of others. */
export const OVERDUE = 1e7;
export const OVERDUE_NIGHTS = 2;
/** A turn of a smaller tier stays where it is. */
export const FIXED = 1e8;
/** Airmasses per millisecond. */
export const IDLE_PRICE = 0.3 / HOUR;
export const WAIT_PRICE = 1e-6 / MINUTE;
/** Things run late: the end of a window is kept free, a tenth of the time until then, at most a quarter of an hour. */
const RESERVE_SHARE = 0.1;
const LONGEST_RESERVE: Millis = 15 * MINUTE;
/** Airmasses that it costs to use the whole of it. */
const RESERVE_PRICE = 0.5;
/** Nobody waits for height until it is nearly too late. */
export const SAFE_BEFORE_LATEST: Millis = 20 * MINUTE;

/** What it costs to end `spareMs` before a window that closes in `leftMs`: the less is spare, the more. */
export function reserveCost(spareMs: Millis, leftMs: Millis): number {
  const reserve = Math.min(LONGEST_RESERVE, RESERVE_SHARE * leftMs);
  return spareMs >= reserve ? 0 : RESERVE_PRICE * (1 - spareMs / reserve);
}

/** Sines of altitude for which the airmass is kept. */
const STEPS = 4_096;
let airmasses: Float64Array | null = null;

/** Airmass by the sine of the true altitude, to about 1 part in 100,000 above 5°; what is lower counts as standing at the horizon. */
export function airmassOfSine(sine: number): number {
  airmasses ??= Float64Array.from({ length: STEPS + 2 }, (_, step) =>
    airmassAtTrue((Math.asin(Math.min(1, step / STEPS)) * 180) / Math.PI),
  );
  const at = Math.max(0, sine) * STEPS;
  const step = Math.min(STEPS, at | 0);
  return airmasses[step]! + (at - step) * (airmasses[step + 1]! - airmasses[step]!);
}
