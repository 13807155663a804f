/** Everything that can happen, one type each. The journal holds these and nothing else. */
import type { Seconds, UtcMillis } from "../base/units.js";
import type { Outcome } from "../forecast/learn/calibration.js";
import type { Pointing } from "../observatory/observatory.js";
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
    }
  | {
      readonly is: "black" | "synthetic";
      readonly because: "sun-up" | "cloud" | "dome-shut" | "no-camera" | "too-short" | "unknown";
      /** Sun's altitude at mid-exposure, degrees. */
      readonly sunAltitudeDegrees: number;
      readonly medianAdu: number;
      readonly starsExpected: number;
      readonly starsSeen: number;
      /** Of a frame that was too short: how long it was, and a length in which enough would show. */
      readonly exposureSeconds?: Seconds;
      readonly enoughSeconds?: Seconds;
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

export interface Hold {
  readonly reason: string;
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

export type NightslateEvent =
  | { readonly type: "person.joined"; readonly person: PersonRecord }
  | {
      readonly type: "person.alerts";
      readonly personId: PersonId;
      readonly choice: AlertChoice;
    }
  | { readonly type: "person.forgotten"; readonly personId: PersonId }
  | {
      readonly type: "request.made";
      readonly number: number;
      readonly wish: Wish;
      readonly owner: PersonId;
      readonly classId: string;
      readonly group: string | null;
      readonly tier: number;
      readonly via: Address;
    }
  | {
      readonly type: "request.joined";
      readonly number: number;
      readonly personId: PersonId;
    }
  /** Out of a shared request, which goes on: when the owner leaves, the first sharer becomes the owner. */
  | {
      readonly type: "request.left";
      readonly number: number;
      readonly personId: PersonId;
    }
  | { readonly type: "request.withdrawn"; readonly number: number }
  /** One event for one decision, however many requests it ends. */
  | {
      readonly type: "requests.cancelled";
      readonly cancelId: string;
      readonly numbers: readonly number[];
      readonly reason: string;
      readonly by: PersonId;
    }
  | {
      readonly type: "cancel.undone";
      readonly cancelId: string;
      readonly numbers: readonly number[];
      readonly by: PersonId;
    }
  | {
      readonly type: "request.taken";
      readonly number: number;
      /** When the link expects to be free again. */
      readonly freeUnixMs: UtcMillis;
      readonly altitudeDegrees: number;
      readonly airmass: number;
      readonly pointingAfter: Pointing | null;
    }
  /** The action under way takes longer or shorter than was expected when it was taken. */
  | {
      readonly type: "action.revised";
      readonly number: number;
      /** When the telescope is now expected to be free again. */
      readonly freeUnixMs: UtcMillis;
    }
  | {
      readonly type: "frame.done";
      readonly number: number;
      readonly frame: FrameRecord;
    }
  | { readonly type: "request.completed"; readonly number: number }
  | {
      readonly type: "request.failed";
      readonly number: number;
      readonly reason: string;
      /** It was broken off, so the telescope has still to be stopped; left out when it stands. */
      readonly stopping?: true;
    }
  /** What was stopped stands, or will not stop and is at fault: the next one may be taken. */
  | { readonly type: "telescope.stopped"; readonly number: number }
  /** Back to waiting, with its number and time of asking. */
  | {
      readonly type: "request.returned";
      readonly number: number;
      readonly reason: string;
      readonly by: PersonId | null;
    }
  | {
      readonly type: "overheads.measured";
      readonly number: number;
      readonly samples: readonly OverheadSample[];
    }
  /** How the forecasts of a request's start fared, one for each horizon at which one was made. */
  | {
      readonly type: "forecast.scored";
      readonly number: number;
      readonly outcomes: readonly Outcome[];
    }
  | { readonly type: "hold.placed"; readonly hold: Hold }
  | { readonly type: "hold.lifted"; readonly by: PersonId | null }
  | {
      readonly type: "rule.chosen";
      readonly rule: RuleName;
      readonly by: PersonId;
    }
  | {
      readonly type: "equipment.changed";
      readonly equipment: Equipment;
      readonly by: PersonId | null;
    }
  | {
      readonly type: "session.opened";
      readonly classId: string;
      readonly by: PersonId;
      readonly untilUnixMs: UtcMillis | null;
    }
  | {
      readonly type: "session.closed";
      readonly classId: string;
      readonly by: PersonId | null;
    }
  | {
      readonly type: "group.set";
      readonly classId: string;
      readonly group: string;
      readonly members: readonly PersonId[];
    }
  | {
      readonly type: "announcement.made";
      readonly classId: string;
      readonly text: string;
      readonly by: PersonId;
    }
  /** A request's owner was told these estimates; later shifts are measured from them. */
  | {
      readonly type: "estimates.told";
      readonly estimates: readonly ToldEstimate[];
    }
  | {
      readonly type: "estimates.moved";
      readonly moves: readonly EstimateMove[];
    }
  | {
      readonly type: "request.next";
      readonly number: number;
      readonly startUnixMs: UtcMillis;
    }
  | {
      readonly type: "night.began";
      readonly date: string;
      readonly carriedOver: readonly number[];
    }
  | { readonly type: "dusk.noted"; readonly date: string }
  /** With what was then expected of the requests that wait; left out in older entries. */
  | {
      readonly type: "morning.summed";
      readonly date: string;
      readonly estimates?: readonly ToldEstimate[];
    }
  | {
      readonly type: "job.ran";
      readonly job: string;
      readonly dueUnixMs: UtcMillis;
    }
  /** Several notices to one place become one message: fixed before it is sent, so that a retry is the same. */
  | {
      readonly type: "parcel.made";
      readonly parcelKey: string;
      readonly noticeKeys: readonly string[];
    }
  | {
      readonly type: "notices.delivered";
      readonly keys: readonly string[];
      readonly messageId: string | null;
    }
  /** Given up, with the reason (person left, channel gone). */
  | {
      readonly type: "notices.dropped";
      readonly keys: readonly string[];
      readonly reason: string;
    }
  /** Anything a surface must remember across a restart (a board's message id, a refused direct message). */
  | {
      readonly type: "surface.remembered";
      readonly surface: string;
      readonly key: string;
      readonly value: string | null;
    };

export interface ToldEstimate {
  readonly number: number;
  /** null: told that tonight is full. */
  readonly startUnixMs: UtcMillis | null;
}

export interface EstimateMove extends ToldEstimate {
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
