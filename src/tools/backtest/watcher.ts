/** What a real Nightslate would hear of a night, and be asked. */
import type { Millis, UtcMillis } from "../../base/units.js";
import type { MeasuredTime } from "../../forecast/learn/beliefs.js";
import type { NightInput } from "../../forecast/night-run.js";
import type { OverheadFactors } from "../../observatory/observatory.js";
import type { Request } from "../../queue/request.js";

/** How an action ended, as the journal would tell it. */
export interface Ended {
  readonly request: Request;
  readonly outcome: "completed" | "failed";
  /** Back in the queue after a failure. */
  readonly waitsAgain: boolean;
  readonly takenUnixMs: UtcMillis;
  readonly endedUnixMs: UtcMillis;
  readonly samples: readonly MeasuredTime[];
}

/** Told of everything in order of time; instants are whole milliseconds. */
export interface Watcher {
  /** The multiples that decisions and plans are made with, as learned so far. */
  overheads(): OverheadFactors;
  asked(request: Request): void;
  withdrawn(request: Request, atUnixMs: UtcMillis): void;
  taken(request: Request, atUnixMs: UtcMillis): void;
  ended(end: Ended): void;
  held(isHeld: boolean, atUnixMs: UtcMillis): void;
  /** Someone wants to know when a waiting request will run; `night` is all that can be known then. */
  question(request: Request, night: NightInput): void;
}

/** How long after asking its owner asks about a request again. */
export type SecondLook = (request: Request) => Millis;
