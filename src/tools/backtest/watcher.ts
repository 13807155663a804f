/** What a real Nightslate would hear of a night, and be asked. */
import type { Millis, UtcMillis } from "../../base/units.js";
import type { NightInput } from "../../forecast/night-run.js";
import { CONFIGURED_OVERHEADS, type OverheadFactors } from "../../observatory/observatory.js";
import type { Request } from "../../queue/request.js";
import type { ActionDone } from "./telescope.js";

/** How an action ended, as the journal would tell it. */
export interface Ended {
  readonly action: ActionDone;
  readonly outcome: "completed" | "failed";
  /** Back in the queue after a failure. */
  readonly waitsAgain: boolean;
  readonly endedUnixMs: UtcMillis;
}

/** The night waits for it. */
type Heard = void | Promise<void>;

/** Told of everything in order of time; instants are whole milliseconds. */
export interface Watcher {
  /** The multiples that decisions and plans are made with, as learned so far. */
  overheads(): OverheadFactors;
  asked(request: Request): Heard;
  withdrawn(request: Request, atUnixMs: UtcMillis): Heard;
  taken(action: ActionDone): Heard;
  ended(end: Ended): Heard;
  /** @param untilUnixMs when the hold is said to end; null: nobody has said */
  held(isHeld: boolean, atUnixMs: UtcMillis, untilUnixMs: UtcMillis | null): Heard;
  /** Someone wants to know when a waiting request will run; `night` is all that can be known then. */
  question(request: Request, night: NightInput, shownIn: Channel): Heard;
  /**
   * A request that was withdrawn would have been taken now, had it stayed; left out by those who do not want to
   * know. A night differs from the one in which it stayed only from here on.
   */
  wouldHaveStarted?(request: Request, atUnixMs: UtcMillis): Heard;
}

/** Where an answer is read: in the reply to the request itself, at once; or when its owner asks again. */
export type Channel = "request" | "when";

/** Asks nothing, learns nothing. */
export const nobody: Watcher = {
  overheads: () => CONFIGURED_OVERHEADS,
  asked: () => {},
  withdrawn: () => {},
  taken: () => {},
  ended: () => {},
  held: () => {},
  question: () => {},
};

/** How long after asking its owner asks about a request again. */
export type SecondLook = (request: Request) => Millis;
