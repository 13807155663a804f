/** The desk: the one place where events are decided, made durable and passed on. Interface only; see open-desk.ts. */
import type { UtcMillis } from "../base/units.js";
import type { Entry, NightslateEvent } from "./events.js";
import type { Notice } from "./notice.js";
import type { State } from "./state.js";

/** Looks at the state and says what happens; throws a Refusal to say why nothing does. */
export type Decide = (state: State, now: UtcMillis) => readonly NightslateEvent[];

export interface ActOptions {
  /** A person's id, or "telescope", "schedule", "outbox". */
  readonly by: string;
  /** The caller's key for this delivery: the same key a second time is answered with the first entry, and nothing happens. */
  readonly onceKey?: string | null;
  /**
   * When it happened, for a telescope or schedule that acts at an exact instant.
   * Never earlier than the last entry (it is raised to that); default: the clock's now.
   */
  readonly atUnixMs?: UtcMillis;
}

export interface Acted {
  /** null when `decide` returned no events: nothing is written. */
  readonly entry: Entry | null;
  /** The entry existed already, under the same once key. */
  readonly repeated: boolean;
}

export interface Desk {
  /** As stored. While a decision is made it is the state that decision is given: with those before it in the same write. */
  readonly state: State;
  /**
   * Decides and stores, one decision at a time in order of calling. When the promise resolves the
   * entry is on disk; only then does `state` change and do listeners hear of it.
   * @throws {Refusal} from `decide`, or code "not-stored" when the disk refused (nothing has happened then)
   */
  act(decide: Decide, options: ActOptions): Promise<Acted>;
  /** Called after each stored entry, in order; a listener's error is logged and stops nobody else. */
  listen(listener: (entry: Entry) => void): () => void;
  /** One sentence for each damage that was found in the journal at opening, and set aside. */
  readonly reports?: readonly string[];
  /** Every stored entry from `fromId` on, in order (for results and tests). */
  entries(fromId?: number): AsyncIterable<Entry>;
  close(): Promise<void>;
}

/**
 * Works out the notices that follow from events, given the state before and after them. Both states are views that
 * hold only during the call; `after` has the entry's events, id and time, but not yet these notices.
 */
export type DeriveNotices = (entry: Omit<Entry, "notices">, before: State, after: State) => readonly Notice[];
