/**
 * A request and its life.
 *
 *   waiting ──▶ taken ──▶ completed ──▶ waiting   (without a usable frame: the instructor puts it back)
 *    │  ▲        │ │
 *    │  └────────┘ └────▶ failed ──▶ waiting   (likewise)
 *    │   returned
 *    ├──▶ withdrawn   by its owner; while taken, the telescope is stopped
 *    └──▶ cancelled   by staff, with a reason; likewise; undone within two minutes: waiting again
 */
import type { Seconds, UtcMillis } from "../base/units.js";
import type { Target } from "../sky/target.js";

/** Stable id of a person: surface and account, such as "terminal:mira" or "discord:8154…". */
export type PersonId = string;
/** What someone may do in a class. */
export type Role = "student" | "operator" | "instructor";

export type RequestState = "waiting" | "taken" | "completed" | "cancelled" | "withdrawn" | "failed";

/** Where something was said, and so where the answer goes. */
export interface Address {
  /** Name of the surface: "terminal", "room", "discord". */
  readonly surface: string;
  /** The surface's own channel id. */
  readonly channel: string;
}

/** What the owner wished for. */
export interface Wish {
  readonly target: Target;
  /** Name of a filter that the camera has. */
  readonly filter: string;
  readonly exposureSeconds: Seconds;
  readonly frames: number;
  readonly notBeforeUnixMs: UtcMillis | null;
  /**
   * The earliest time is a wait for the target's best tonight, given up rather than the turn missed; then this
   * earliest time holds. null or left out: no such wait.
   */
  readonly best?: { readonly notBeforeUnixMs: UtcMillis | null } | null;
  /** The person's own words, cleaned; never trusted as markup. */
  readonly note: string | null;
}

export interface Request extends Wish {
  /** #1, #2 …, in order of asking. */
  readonly number: number;
  readonly owner: PersonId;
  /** Classmates who joined rather than ask for the same frame again. */
  readonly sharers: readonly PersonId[];
  readonly classId: string;
  readonly group: string | null;
  /** Smaller runs first. */
  readonly tier: number;
  readonly via: Address;
  readonly askedUnixMs: UtcMillis;
  readonly state: RequestState;
  readonly takenUnixMs: UtcMillis | null;
  /** When it was completed, cancelled, withdrawn or failed. */
  readonly endedUnixMs: UtcMillis | null;
  readonly framesDone: number;
  /** Why it was cancelled, failed or returned; null otherwise. */
  readonly reason: string | null;
}

/** What decides a new request's turn. */
export type Asked = Omit<Wish, "note" | "best"> & Pick<Request, "number" | "owner" | "tier" | "askedUnixMs">;

/** A request that waits, of no class and with nothing done. Spelled out, for copying objects is slow in their thousands. */
export function waitingRequest(asked: Asked): Request {
  return {
    number: asked.number,
    target: asked.target,
    filter: asked.filter,
    exposureSeconds: asked.exposureSeconds,
    frames: asked.frames,
    notBeforeUnixMs: asked.notBeforeUnixMs,
    note: null,
    owner: asked.owner,
    sharers: [],
    classId: "",
    group: null,
    tier: asked.tier,
    via: { surface: "", channel: "" },
    askedUnixMs: asked.askedUnixMs,
    state: "waiting",
    takenUnixMs: null,
    endedUnixMs: null,
    framesDone: 0,
    reason: null,
  };
}

/** The ordering rules within one tier. */
export const RULE_NAMES = ["highest-first", "first-come", "setting-first", "one-each", "planned"] as const;
export type RuleName = (typeof RULE_NAMES)[number];

/** Requests are equal in effect when one frame would serve both. */
export function sameFrame(a: Wish, b: Wish): boolean {
  return (
    a.target.id === b.target.id &&
    a.filter === b.filter &&
    a.exposureSeconds === b.exposureSeconds &&
    a.frames === b.frames
  );
}
