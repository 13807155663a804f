/** What goes into the night engine and what comes out: shared by the forecast and the telescope links. */
import type { Degrees, UtcMillis } from "../base/units.js";
import type { ActionTimes, Observatory, OverheadFactors, Pointing } from "../observatory/observatory.js";
import type { Decider } from "../queue/decider.js";
import type { Plan } from "../queue/planner/plan.js";
import type { PersonId, Request, RuleName } from "../queue/request.js";
import type { Interval } from "../sky/interval.js";

export type { Decider } from "../queue/decider.js";

/** Everything that decides the night from `nowUnixMs` on. */
export interface NightInput {
  readonly nowUnixMs: UtcMillis;
  /** The run stops here: normally the end of tonight (local noon). */
  readonly untilUnixMs: UtcMillis;
  readonly observatory: Observatory;
  readonly overheads: OverheadFactors;
  readonly rule: RuleName;
  /** What `planned` follows; left out: made for this input, which takes its time. */
  readonly plan?: Plan;
  /** Requests in state `waiting`, any order. */
  readonly waiting: readonly Request[];
  /** The one being observed now, and when the telescope will be free of it. */
  readonly current: {
    readonly request: Request;
    readonly freeUnixMs: UtcMillis;
  } | null;
  /** Where the machines stand now (or will, when `current` is done). */
  readonly pointing: Pointing;
  /** Nothing is taken before this: end of a hold (Infinity for an open-ended one); null for no hold. */
  readonly holdUntilUnixMs: UtcMillis | null;
  /** Times past in which nothing could be taken; only for playing again what has happened. By opening time. */
  readonly closed?: readonly Interval[];
  /** Below this true altitude a target that will stand higher waits, where that keeps nobody waiting; null: never. */
  readonly worthwhileAltitudeDegrees?: Degrees | null;
  /** Requests already taken tonight by each owner (for `one-each`). */
  readonly takenTonight: ReadonlyMap<PersonId, number>;
}

/** One request's action from an instant on. */
export interface Work {
  readonly number: number;
  /** The telescope begins to move for it. */
  readonly takenUnixMs: UtcMillis;
  readonly times: ActionTimes;
  /** Exposures begin: taken + ready. */
  readonly exposingUnixMs: UtcMillis;
  /** Free for the next: taken + total. */
  readonly freeUnixMs: UtcMillis;
  /** True altitude when exposures begin. */
  readonly altitudeDegrees: Degrees;
  /** The machines' state afterwards. */
  readonly pointingAfter: Pointing;
}

/** One request's turn in a run. */
export interface Turn extends Work {
  /** What put it before the best of the others, and that other's number (null: nobody else was eligible). */
  readonly decider: Decider;
  readonly aheadOf: number | null;
}

/** Why a waiting request has no turn in a run. */
export type NoTurn =
  /** Its window is over for this night, or never opens. */
  | { readonly why: "no-window" }
  /** It opens, but others fill the time, or it does not fit before it closes. */
  | { readonly why: "no-time" }
  /** Not before a time past the end of the run. */
  | { readonly why: "not-before"; readonly notBeforeUnixMs: UtcMillis }
  /** An open-ended hold. */
  | { readonly why: "hold" };

export interface NightRun {
  readonly turns: readonly Turn[];
  readonly withoutTurn: ReadonlyMap<number, NoTurn>;
}

/** What the telescope should do now. */
export type Step =
  | { readonly do: "take"; readonly turn: Turn; readonly request: Request }
  /**
   * Nothing can be taken; look again then, or when the queue changes. `busy`: the present request is
   * not finished. Infinity when no instant is known (an open-ended hold, nothing waiting).
   */
  | {
      readonly do: "wait";
      readonly untilUnixMs: UtcMillis;
      readonly because: "busy" | "hold" | "no-requests" | "no-window";
    };
