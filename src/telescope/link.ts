/** How a telescope, of whatever kind, is joined to the queue: what the driver asks of a link, and what the link tells it. */
import type { Invocation } from "../base/button.js";
import type { CallOff, Clock, ScaledClock } from "../base/clock.js";
import type { Log } from "../base/log.js";
import type { UtcMillis } from "../base/units.js";
import type { Config } from "../config/config.js";
import type { Member } from "../config/members.js";
import type { ForecastService } from "../estimates/forecast-service.js";
import type { Acted, ActOptions, Decide } from "../journal/desk.js";
import type { Equipment, FrameRecord, NightslateEvent, OverheadSample } from "../journal/events.js";
import type { State, StoppingState } from "../journal/state.js";
import type { Stance, TelescopeTraits } from "../journal/telescope-status.js";
import type { ActionTimes, OverheadFactors, Pointing } from "../observatory/observatory.js";
import type { Address, PersonId, Request } from "../queue/request.js";
import type { Catalogue } from "../sky/names/catalogue.js";
import type { FitsSource } from "./frames/byte-reader.js";
import type { FrameStore } from "./frames/frame-store.js";

export interface LinkHost {
  readonly clock: Clock;
  readonly config: Config;
  readonly log: Log;
  /** As the journal has it. */
  state(): State;
  /**
   * My equipment: what of it changed. Never rejects: a disk that refuses is asked again.
   * Resolves when it is stored, or has been refused once.
   */
  report(changes: Partial<Equipment>): Promise<void>;
  /**
   * Nothing new is taken until an operator has lifted it; a hold that stands already keeps what it says and gains this.
   * Never rejects, and resolves, as `report` does.
   * @param reason a clause that everyone may read
   */
  hold(reason: string): Promise<void>;
  /** What is to be observed next. */
  readonly forecast: Pick<ForecastService, "nextStep" | "workAt">;
  /** Decides and stores, as the desk does: for links that are told from outside what is taken. */
  act(decide: Decide, options: Omit<ActOptions, "by">): Promise<Acted>;
}

/** One request's work, in the journal before the link hears of it. */
export interface Action {
  readonly request: Request;
  readonly takenUnixMs: UtcMillis;
  /** When exposures are expected to begin, and the telescope to be free again. */
  readonly exposingUnixMs: UtcMillis;
  readonly freeUnixMs: UtcMillis;
  readonly times: ActionTimes;
  /** The learned multiples inside these times. */
  readonly overheads: OverheadFactors;
  /** null where nothing is known of it. */
  readonly pointingBefore: Pointing | null;
  readonly pointingAfter: Pointing | null;
  /** Frames handed over before the program was started anew. */
  readonly framesDone: number;
  /** It was under way when the program ended: the link finds out what has become of it before it moves anything. */
  readonly resumed: boolean;
}

/**
 * Where a link tells how an action goes. Times are UTC milliseconds, of when it happened. What is promised resolves when
 * it is in the journal, or the action is over otherwise; it never rejects, so that nobody has to wait for it.
 * A once key goes into the journal with it.
 */
export interface Progress {
  /** Frame n of m (1-based) is being exposed. */
  exposing(frame: number, startUnixMs: UtcMillis): void;
  /**
   * A frame that is there or on its way. Frames are journalled in the order in which they are given, all of them
   * before the outcome; one that rejects fails the request.
   */
  frame(frame: FrameRecord | Promise<FrameRecord>, atUnixMs: UtcMillis, onceKey?: string): Promise<void>;
  /** The telescope is free again. @param measured what the action taught about the machines' times */
  ended(atUnixMs: UtcMillis, measured?: readonly OverheadSample[], onceKey?: string): Promise<void>;
  /** Nothing more comes of it. @param reason a clause for its owner: "the mount does not answer" */
  failed(reason: string, atUnixMs: UtcMillis, onceKey?: string): Promise<void>;
  /** It cannot go on now, which is no fault of its own: it waits again, with its place. The telescope has been stopped. */
  returned(reason: string, atUnixMs: UtcMillis, onceKey?: string): Promise<void>;
}

/** An action as the link carries it out. */
export interface Work {
  /**
   * Stop now: cancelled, failed or withdrawn. The journal knows already; nothing else is begun before this resolves.
   * When it rejects, the telescope is taken to be at fault.
   * @param reason why, a clause; null where none was given
   */
  stop(reason: string | null): Promise<void>;
}

/**
 * Judges and keeps one frame of a request; it is the caller's to journal it.
 * @param index 1-based
 * @throws {Refusal} when it is no frame that can be read
 */
export type KeepFrame = (request: Request, index: number, source: FitsSource) => Promise<FrameRecord>;

/** Where machines stand of which nobody says where. */
export const NO_STANCE: Stance = { altitudeDegrees: null, azimuthDegrees: null, domeAzimuthDegrees: null };

export interface TelescopeLink {
  readonly traits: TelescopeTraits;
  /** Where its frames are kept; left out when it delivers none. */
  readonly frames?: Pick<FrameStore<never>, "removeOld" | "freeBytes" | "close"> | undefined;
  /** Begins to watch the equipment; reports what it finds. */
  start(host: LinkHost): Promise<void>;
  /** Carries an action out. Returns at once; all else is told through `progress`. */
  begin(action: Action, progress: Progress): Work;
  /**
   * The program ended before a stop was done: stops now, as `Work.stop` would have, before anything is begun.
   * Called after `start`; rejects likewise.
   */
  stopLeftOver(stopping: StoppingState): Promise<void>;
  /** Where its machines stand now, as they have said themselves; asked before `start` too. Left out where they say nothing. */
  stance?(): Stance;
  /** What has just been journalled; left out where nothing of it matters to the machines. */
  heard?(events: readonly NightslateEvent[]): void;
  /** Does something with frames that an operator hands over, none of its own in between; left out where it takes none. */
  handOver?<T>(work: (keep: KeepFrame) => Promise<T>): Promise<T>;
  /** The program ends: lets go of everything and stops no motion. What is under way is resumed at the next start. */
  close(): Promise<void>;
}

/** A command as it is given on a telescope's behalf. */
export interface GivenCommand extends Invocation {
  readonly asker: Member;
  readonly from: Address;
  readonly onceKey: string;
}

/** What of the running program a telescope may use once everything runs. */
export interface RunningTelescope {
  readonly clock: ScaledClock;
  readonly catalogue: Catalogue;
  state(): State;
  /** Runs a command, as any surface does. */
  run(call: GivenCommand): Promise<{ readonly actions?: readonly Invocation[] }>;
}

/** A kind of telescope as the program starts it: made from the configuration before the journal is open. */
export interface Telescope {
  /** Times faster than real time its clock runs: 1 for everything that really moves. */
  readonly speed: number;
  /**
   * Where its clock starts; left out: at the real time, and no journal that is ahead of that is opened.
   * @param lastEntryUnixMs the newest entry of the journal, 0 for an empty one
   */
  startUnixMs?(realUnixMs: UtcMillis, lastEntryUnixMs: UtcMillis): UtcMillis;
  link(clock: ScaledClock): TelescopeLink;
  /**
   * Called once everything runs.
   * @param typing the person at the terminal
   * @returns ends what it began
   */
  begin(running: RunningTelescope, typing: PersonId): CallOff;
}
