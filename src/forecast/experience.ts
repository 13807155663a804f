/** What has happened so far, as far as it teaches anything about the rest of the night. */
import type { Millis, UtcMillis } from "../base/units.js";
import type { Request } from "../queue/request.js";
import type { Night } from "../sky/night.js";
import type { MeasuredTime } from "./beliefs.js";

/** Sums over nights. */
export interface Tally {
  /** Actions begun, and those that failed or were broken off. */
  readonly attempts: number;
  readonly failures: number;
  /** From taken to ended, all actions together. */
  readonly workedMs: Millis;
  /** Holds placed while the telescope was in use, and how long it stood idle for them together. */
  readonly holds: number;
  readonly heldMs: Millis;
  /** When an action last began and last ended; 0 before the first. */
  readonly lastTakenUnixMs: UtcMillis;
  readonly lastEndedUnixMs: UtcMillis;
}

export const EMPTY_TALLY: Tally = {
  attempts: 0,
  failures: 0,
  workedMs: 0,
  holds: 0,
  heldMs: 0,
  lastTakenUnixMs: 0,
  lastEndedUnixMs: 0,
};

export interface Experience {
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
