/** What the journal adds up to: changed by the fold alone, read by everyone. */
import type { UtcMillis } from "../base/units.js";
import type { Calibration } from "../forecast/learn/calibration.js";
import type { Tally } from "../forecast/learn/experience.js";
import type { Pointing } from "../observatory/observatory.js";
import type { Plan } from "../queue/planner/plan.js";
import type { PersonId, Request, RuleName } from "../queue/request.js";
import type { AlertChoice, Equipment, FrameRecord, Hold, OverheadSample, PersonRecord } from "./events.js";
import type { Notice } from "./notice.js";

export interface SessionState {
  readonly openedUnixMs: UtcMillis;
  /** null: until it is closed by hand. */
  readonly untilUnixMs: UtcMillis | null;
}

/** What the telescope is committed to. */
export interface TakenState {
  readonly number: number;
  readonly takenUnixMs: UtcMillis;
  readonly freeUnixMs: UtcMillis;
  /** The same as it was promised when it was taken. */
  readonly promisedUnixMs: UtcMillis;
  /** The operator has been reminded of it. */
  readonly reminded: boolean;
}

/** A request that was ended while it was under way: the telescope has still to be stopped. */
export interface StoppingState {
  readonly number: number;
  /** Why, a clause; null where none was given. */
  readonly reason: string | null;
  readonly sinceUnixMs: UtcMillis;
}

/** A cancellation that can still be undone. */
export interface CancelState {
  readonly cancelId: string;
  readonly numbers: readonly number[];
  readonly by: PersonId;
  readonly atUnixMs: UtcMillis;
}

/** A person as the class they were in last knows them, with what they are in other classes. */
export interface KnownPerson extends PersonRecord {
  /** One record for each other class they have been in, the latest first; left out when there is none. */
  readonly elsewhere?: readonly PersonRecord[];
}

export interface State {
  readonly lastEntryId: number;
  readonly lastEntryUnixMs: UtcMillis;
  /** All requests ever made, by number. */
  readonly requests: ReadonlyMap<number, Request>;
  /** Numbers of the requests in state `waiting`, in order of asking. */
  readonly waiting: ReadonlySet<number>;
  readonly nextNumber: number;
  readonly people: ReadonlyMap<PersonId, KnownPerson>;
  /** When each person not yet forgotten last joined or asked for something. */
  readonly lastActive: ReadonlyMap<PersonId, UtcMillis>;
  readonly alerts: ReadonlyMap<PersonId, AlertChoice>;
  readonly sessions: ReadonlyMap<string, SessionState>;
  /** classId → group → members. */
  readonly groups: ReadonlyMap<string, ReadonlyMap<string, readonly PersonId[]>>;
  readonly hold: Hold | null;
  /** null: the configuration's rule. */
  readonly rule: RuleName | null;
  /** What the rule `planned` follows, since when; null before there was any. */
  readonly plan: { readonly plan: Plan; readonly keptUnixMs: UtcMillis } | null;
  readonly equipment: Equipment;
  /** Whether it was staff who last said how the dome is, rather than the telescope itself. */
  readonly domeByStaff: boolean;
  /** Too little room for frames: nothing is taken; null when there is enough. */
  readonly diskShort: { readonly neededBytes: number; readonly freeBytes: number } | null;
  readonly taken: TakenState | null;
  /** Nothing is taken before it is over. */
  readonly stopping: StoppingState | null;
  readonly pointing: Pointing | null;
  readonly frames: ReadonlyMap<number, readonly FrameRecord[]>;
  /** Requests taken in the present night, by owner. */
  readonly takenTonight: ReadonlyMap<PersonId, number>;
  /** The newest overhead samples, oldest first (bounded). */
  readonly overheadSamples: readonly OverheadSample[];
  /** What actions and holds add up to, over all nights. */
  readonly tally: Tally;
  /** The same as it stood when the present night began. */
  readonly tallyBefore: Tally;
  /** How forecasts have fared, as far as their ranges are drawn from it. */
  readonly calibration: Calibration;
  /** The estimate each waiting request's owner was last told. */
  readonly told: ReadonlyMap<number, UtcMillis | null>;
  /** How often a request's earliest time has changed since it was made. */
  readonly earliestChanged: number;
  /** Requests whose owner has been told "you are next". */
  readonly toldNext: ReadonlySet<number>;
  /** Of those, the ones before which another was taken, and which: their owners have still to hear why. */
  readonly overtaken: ReadonlyMap<number, number>;
  readonly cancels: ReadonlyMap<string, CancelState>;
  /** Notices not yet delivered or dropped, in order. */
  readonly outbox: ReadonlyMap<string, Notice>;
  /** Parcel key → notice keys, while any is undelivered. */
  readonly parcels: ReadonlyMap<string, readonly string[]>;
  /** Calls already acted on (bounded to the last day): once key → entry id. */
  readonly onceKeys: ReadonlyMap<string, number>;
  readonly jobs: ReadonlyMap<string, UtcMillis>;
  /** surface → key → value. */
  readonly remembered: ReadonlyMap<string, ReadonlyMap<string, string>>;
  /** The night last begun, "2026-11-25"; null before the first. */
  readonly night: string | null;
}
