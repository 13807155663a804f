/** Everything that can happen, one type each. The journal holds these and nothing else. */
import type { Seconds, UtcMillis } from "../base/units.js";
import type { ChanceOutcome, Outcome, RangeOutcome } from "../forecast/learn/calibration.js";
import type { Pointing } from "../observatory/observatory.js";
import type { Decider } from "../queue/decider.js";
import type { Plan } from "../queue/planner/plan.js";
import type { Address, PersonId, Role, RuleName, Wish } from "../queue/request.js";
import type { Notice } from "./notice.js";

export interface PersonRecord {
  readonly id: PersonId;
  readonly name: string;
  readonly classId: string;
  readonly role: Role;
  readonly group: string | null;
  /** Where notices for this person go. */
  readonly home: Address;
}

/** How a person wants to be told. */
export interface AlertChoice {
  readonly how: "mention" | "direct" | "silent" | "morning";
  /** Local clock times, "23:00"; null for no quiet hours. */
  readonly quietFrom: string | null;
  readonly quietUntil: string | null;
}

/** Why a frame is black, or that it is not. Evidence is kept in numbers. */
export type Verdict =
  | {
      readonly is: "usable";
      readonly starsSeen: number;
      readonly backgroundElectrons: number;
      /** Share of pixels at the top of the scale, 0 to 1; left out when not measured. */
      readonly saturatedShare?: number;
      /** Of the stars, where enough stood alone to be measured. */
      readonly fwhmArcseconds?: number;
    }
  | {
      /** `spoilt`: light enough, and no use. */
      readonly is: "black" | "synthetic" | "spoilt";
      readonly because:
        | "sun-up"
        | "cloud"
        | "dome-shut"
        | "slit-away"
        | "no-light"
        | "no-camera"
        | "too-short"
        | "over-exposed"
        | "off-target"
        | "trailed"
        | "out-of-focus"
        | "unknown";
      /** Sun's altitude at mid-exposure, degrees. */
      readonly sunAltitudeDegrees: number;
      readonly medianAdu: number;
      readonly starsExpected: number;
      readonly starsSeen: number;
      /** Of a frame that was too short: how long it was, and a length in which enough would show. */
      readonly exposureSeconds?: Seconds;
      readonly enoughSeconds?: Seconds;
      /** Of one that was over-exposed, as above; or of the disc of a planet or the Moon alone. */
      readonly saturatedShare?: number;
      readonly saturatedDisc?: number;
      /** Of one that the dome's slit did not let through: from where it had to face to where it stood. */
      readonly slitOffDegrees?: number;
      /** Of one that was trailed or out of focus. */
      readonly fwhmArcseconds?: number;
      readonly elongation?: number;
      /** Of one beside its target: from the frame's middle to where the target is. */
      readonly offDegrees?: number;
    };

export interface FrameRecord {
  /** 1-based within its request. */
  readonly index: number;
  readonly startUnixMs: UtcMillis;
  readonly exposureSeconds: Seconds;
  readonly filter: string;
  /** File names inside the data folder; null when the link delivers none. */
  readonly imageFile: string | null;
  readonly previewFile: string | null;
  readonly verdict: Verdict | null;
  readonly simulated: boolean;
}

/** Parts whose condition decides what a frame can be. */
export interface Equipment {
  readonly telescope: "ready" | "fault";
  /** `shut` opens as part of the next action; `kept-shut`, by staff or for the weather, stays so until that is lifted. */
  readonly dome: "open" | "shut" | "kept-shut" | "fault";
  readonly camera: "fitted" | "away" | "fault";
  readonly sky: "clear" | "cloud" | "unknown";
}

/** Whoever decided, where that was the telescope's own link. */
export const TELESCOPE: PersonId = "telescope";

export interface Hold {
  readonly reason: string;
  /** `TELESCOPE` for one that the telescope needs. */
  readonly by: PersonId;
  readonly sinceUnixMs: UtcMillis;
  /** null: until someone resumes. */
  readonly untilUnixMs: UtcMillis | null;
  /** People are at the machines: nothing moves, no matter why, until it is lifted. Left out of every other hold. */
  readonly people?: true;
}

/** One measured component of an action (milliseconds), beside what the configuration said. */
export interface OverheadSample {
  readonly component: "slew" | "dome" | "filter" | "shutter" | "settle" | "readOut" | "handOver" | "total";
  readonly configuredMs: number;
  readonly measuredMs: number;
}

/** What each type of event says. */
export interface EventFacts {
  "person.joined": { person: PersonRecord };
  "person.alerts": { personId: PersonId; choice: AlertChoice };
  "person.forgotten": { personId: PersonId };
  "request.made": {
    number: number;
    wish: Wish;
    owner: PersonId;
    classId: string;
    group: string | null;
    tier: number;
    via: Address;
  };
  /** From when on it may be taken has changed; `missed`: it would have lost its turn by waiting for its target's best. */
  "request.earliest": {
    number: number;
    notBeforeUnixMs: UtcMillis | null;
    best: NonNullable<Wish["best"]> | null;
    because: "asked" | "missed" | "new-night";
    /** Where its people are told of it: when it starts now. */
    startUnixMs?: UtcMillis;
  };
  "request.joined": { number: number; personId: PersonId };
  /** Out of a shared request, which goes on: when the owner leaves, the first sharer becomes the owner. */
  "request.left": { number: number; personId: PersonId };
  "request.withdrawn": { number: number };
  /** One event for one decision, however many requests it ends. */
  "requests.cancelled": { cancelId: string; numbers: readonly number[]; reason: string; by: PersonId };
  "cancel.undone": { cancelId: string; numbers: readonly number[]; by: PersonId };
  "request.taken": {
    number: number;
    /** When the link expects to be free again. */
    freeUnixMs: UtcMillis;
    altitudeDegrees: number;
    airmass: number;
    pointingAfter: Pointing | null;
  };
  /** The action under way takes longer or shorter than was expected when it was taken. */
  "action.revised": {
    number: number;
    /** When the telescope is now expected to be free again. */
    freeUnixMs: UtcMillis;
  };
  "frame.done": { number: number; frame: FrameRecord };
  "request.completed": { number: number };
  "request.failed": {
    number: number;
    reason: string;
    /** It was broken off, so the telescope has still to be stopped; left out when it stands. */
    stopping?: true;
  };
  /** What was stopped stands, or will not stop and is at fault: the next one may be taken. */
  "telescope.stopped": { number: number };
  /** Twice the time that was promised for it has passed, and nobody has said what became of it. */
  "action.overdue": { number: number };
  /** The disk has no room for the frames of the request that comes next, with some to spare (bytes). */
  "disk.short": { neededBytes: number; freeBytes: number };
  "disk.mended": unknown;
  /** Files that were found and fit no request: some of them, each with a clause why, and how many in all. */
  "frames.unplaced": { files: readonly { readonly name: string; readonly why: string }[]; total: number };
  /** Back to waiting, with its number and time of asking. */
  "request.returned": { number: number; reason: string; by: PersonId | null };
  "overheads.measured": { number: number; samples: readonly OverheadSample[] };
  /**
   * How the forecasts of a request fared: of its start, one for each horizon at which one was made (ranges: as written
   * by earlier versions), and of its chance.
   */
  "forecast.scored": {
    number: number;
    outcomes: readonly (Outcome | RangeOutcome)[];
    chances?: readonly ChanceOutcome[];
    /** Where it is not the present one. */
    night?: string;
  };
  "hold.placed": { hold: Hold };
  "hold.lifted": {
    by: PersonId | null;
    /** Whoever lifted it has confirmed that nobody is at the machines; left out when that was not asked. */
    nobodyInside?: true;
  };
  /** What the rule `planned` follows from now on, made for the night as it stood after an entry. */
  "plan.kept": { plan: Plan; afterEntry: number };
  "rule.chosen": { rule: RuleName; by: PersonId };
  "equipment.changed": {
    equipment: Equipment;
    by: PersonId | null;
    /** What staff spoke of, changed or not; left out by the telescope itself, and in older entries. */
    part?: keyof Equipment;
  };
  "session.opened": { classId: string; by: PersonId; untilUnixMs: UtcMillis | null };
  "session.closed": { classId: string; by: PersonId | null };
  "group.set": { classId: string; group: string; members: readonly PersonId[] };
  "announcement.made": { classId: string; text: string; by: PersonId };
  /** A request's owner was told these estimates; later shifts are measured from them. */
  "estimates.told": { estimates: readonly ToldEstimate[] };
  "estimates.moved": { moves: readonly EstimateMove[] };
  "request.next": { number: number; startUnixMs: UtcMillis } & ToldRange;
  /** Its owner had been told that it is next, and now hears what runs before it (`by`), and why. */
  "request.overtaken": Overtaken;
  "night.began": { date: string; carriedOver: readonly number[] };
  "dusk.noted": { date: string };
  /** With what was then expected of the requests that wait; left out in older entries. */
  "morning.summed": { date: string; estimates?: readonly ToldEstimate[] };
  "job.ran": { job: string; dueUnixMs: UtcMillis };
  /** Several notices to one place become one message: fixed before it is sent, so that a retry is the same. */
  "parcel.made": { parcelKey: string; noticeKeys: readonly string[] };
  "notices.delivered": { keys: readonly string[]; messageId: string | null };
  /** Given up, with the reason (person left, channel gone). */
  "notices.dropped": { keys: readonly string[]; reason: string };
  /** Anything a surface must remember across a restart (a board's message id, a refused direct message). */
  "surface.remembered": { surface: string; key: string; value: string | null };
}

export type EventType = keyof EventFacts;

/** An event of one type. */
export type Happened<Type extends EventType> = Readonly<{ type: Type } & EventFacts[Type]>;

export type NightslateEvent = { [Type in EventType]: Happened<Type> }[EventType];

export interface ToldEstimate {
  readonly number: number;
  /** null: told that tonight is full. */
  readonly startUnixMs: UtcMillis | null;
}

/** Where the start lies with a chance of 80 %; left out in older entries. */
export interface ToldRange {
  readonly earliestUnixMs?: UtcMillis;
  readonly latestUnixMs?: UtcMillis;
}

export interface Overtaken extends ToldEstimate, ToldRange {
  readonly by: number;
  /** What put the other first; null for somebody's choice at the telescope. */
  readonly decider: Decider | null;
  /** It is next all the same, behind what is under way now. */
  readonly next: boolean;
}

export interface EstimateMove extends ToldEstimate, ToldRange {
  readonly fromUnixMs: UtcMillis | null;
  /** One clause, "two staff requests came in"; null when no single cause was found. */
  readonly because: string | null;
}

/** One durable entry: the events of one decision, and the notices that follow from them. */
export interface Entry {
  /** 1, 2, 3 … without gaps. */
  readonly id: number;
  readonly atUnixMs: UtcMillis;
  /** Who or what decided: a person, or "telescope", "schedule", "outbox". */
  readonly by: string;
  /** The caller's key for one delivery (an interaction id): the same key is never acted on twice. */
  readonly onceKey: string | null;
  readonly events: readonly NightslateEvent[];
  readonly notices: readonly Notice[];
}
