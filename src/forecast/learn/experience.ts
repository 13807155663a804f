/** What has happened so far, as far as it teaches anything about the rest of the night. */
import { HOUR, MINUTE, type Millis, type UtcMillis } from "../../base/units.js";
import type { Observatory } from "../../observatory/observatory.js";
import type { Request } from "../../queue/request.js";
import type { Night } from "../../sky/night.js";
import type { MeasuredTime } from "./beliefs.js";

/** Sums over nights. */
export interface Tally {
  /** Actions begun, and those that failed or were broken off. */
  readonly attempts: number;
  readonly failures: number;
  /** The same with those long past forgotten: each new action makes the earlier ones count a little less. */
  readonly recentAttempts: number;
  readonly recentFailures: number;
  /** From taken to ended, all actions together. */
  readonly workedMs: Millis;
  /** Holds placed while the telescope was in use, and how long it stood idle for them together. */
  readonly holds: number;
  readonly heldMs: Millis;
  /** Of the holds: longer than a pause, and after which nothing more was taken that night though something waited. */
  readonly longHolds: number;
  readonly holdsForGood: number;
  /** When the last of them was placed, and how long it kept the telescope idle. */
  readonly lastHoldUnixMs: UtcMillis;
  readonly lastHeldMs: Millis;
  /** When an action last began and last ended; 0 before the first. */
  readonly lastTakenUnixMs: UtcMillis;
  readonly lastEndedUnixMs: UtcMillis;
}

export const EMPTY_TALLY: Tally = {
  attempts: 0,
  failures: 0,
  recentAttempts: 0,
  recentFailures: 0,
  workedMs: 0,
  holds: 0,
  heldMs: 0,
  longHolds: 0,
  holdsForGood: 0,
  lastHoldUnixMs: 0,
  lastHeldMs: 0,
  lastTakenUnixMs: 0,
  lastEndedUnixMs: 0,
};

/** What lasts longer was forgotten rather than meant. */
const LONGEST_HOLD_COUNTED: Millis = 4 * HOUR;
/** Shorter holds were pauses. */
const PAUSE: Millis = 10 * MINUTE;
/** What is left of an action's weight with each later one: a hundred count. */
const REMEMBERED = 0.99;
/** Only a hold that interrupts the observing tells how often that happens: something was taken so shortly before. */
const IN_USE_WITHIN: Millis = 2 * HOUR;

/** Since when the telescope has stood idle for a hold: not before what it was doing then has ended. */
export function idleSince(
  holdSinceUnixMs: UtcMillis,
  isBusy: boolean,
  { lastEndedUnixMs }: Tally,
  nowUnixMs: UtcMillis,
): UtcMillis {
  return isBusy ? nowUnixMs : Math.max(holdSinceUnixMs, lastEndedUnixMs);
}

/** The sums with a hold that ends now; unchanged by one that interrupted nothing. */
export function withHold(
  tally: Tally,
  holdSinceUnixMs: UtcMillis,
  isBusy: boolean,
  nowUnixMs: UtcMillis,
): Tally {
  if (holdSinceUnixMs - tally.lastTakenUnixMs > IN_USE_WITHIN) return tally;
  const idleMs = nowUnixMs - idleSince(holdSinceUnixMs, isBusy, tally, nowUnixMs);
  const heldMs = Math.max(0, Math.min(LONGEST_HOLD_COUNTED, idleMs));
  return {
    ...tally,
    holds: tally.holds + 1,
    heldMs: tally.heldMs + heldMs,
    longHolds: tally.longHolds + (heldMs > PAUSE ? 1 : 0),
    lastHoldUnixMs: holdSinceUnixMs,
    lastHeldMs: heldMs,
  };
}

/** The sums when a night is over. A hold after which nothing was taken, though something waited, was for good. */
export function withNightOver(tally: Tally, anyWaiting: boolean): Tally {
  const { holdsForGood, lastHoldUnixMs, lastTakenUnixMs, lastHeldMs, heldMs } = tally;
  if (!anyWaiting || lastHeldMs <= PAUSE || lastTakenUnixMs > lastHoldUnixMs) return tally;
  return { ...tally, holdsForGood: holdsForGood + 1, heldMs: heldMs - lastHeldMs, lastHeldMs: 0 };
}

/** One more action begun. */
export function withAttempt(tally: Tally, nowUnixMs: UtcMillis): Tally {
  return {
    ...tally,
    attempts: tally.attempts + 1,
    recentAttempts: REMEMBERED * tally.recentAttempts + 1,
    recentFailures: REMEMBERED * tally.recentFailures,
    lastTakenUnixMs: nowUnixMs,
  };
}

/** The last action has failed or was broken off. */
export function withFailure(tally: Tally): Tally {
  return { ...tally, failures: tally.failures + 1, recentFailures: tally.recentFailures + 1 };
}

export interface Experience {
  readonly observatory: Observatory;
  readonly nowUnixMs: UtcMillis;
  readonly night: Night;
  /** Oldest first. */
  readonly measured: readonly MeasuredTime[];
  /** Every request ever made, in order of asking. */
  readonly requests: Iterable<Request>;
  /** Over all nights so far, and as it stood when the present night began. */
  readonly tally: Tally;
  readonly tallyBefore: Tally;
  /** Since when a hold without an end has kept the telescope from observing; null while none stands. */
  readonly heldSinceUnixMs: UtcMillis | null;
}
