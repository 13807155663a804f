/** One action under way, as its link tells of it: frames, revised times and the outcome go to the journal in order. */
import type { CallOff, Clock } from "../base/clock.js";
import type { Log } from "../base/log.js";
import { type Millis, SECOND, type UtcMillis } from "../base/units.js";
import type { Desk } from "../journal/desk.js";
import type { Equipment, FrameRecord, NightslateEvent, OverheadSample } from "../journal/events.js";
import type { StoppingState } from "../journal/state.js";
import type { Action, Progress, TelescopeLink, Work } from "./link.js";

/** How long to wait before a refused write is tried again: of the telescope's time, and of real time at least. */
const STORE_RETRY: Millis = 10 * SECOND;
const STORE_RETRY_REAL: Millis = 2 * SECOND;
/** An action that ends within this of what was said is on time; likewise. */
const ON_TIME: Millis = 5 * SECOND;
const ON_TIME_REAL: Millis = SECOND;

/** The wait as a clock counts it. */
export function storeRetryMillis({ speed }: Pick<Clock, "speed">): Millis {
  return Math.max(STORE_RETRY, STORE_RETRY_REAL * speed);
}

export interface ActionParts {
  readonly desk: Desk;
  readonly clock: Clock;
  readonly log: Log;
  readonly link: TelescopeLink;
}

/** When something happened, and the key of whoever told it. */
interface Telling {
  readonly atUnixMs: UtcMillis;
  readonly onceKey?: string | undefined;
}

/** Which frame is being exposed, and since when. */
export interface Exposing {
  readonly frame: number;
  readonly startUnixMs: UtcMillis;
}

export class ActionUnderWay implements Progress {
  /** null while the machines move. */
  exposed: Exposing | null = null;
  private readonly work: Work;
  private readonly timers = new Set<CallOff>();
  /** Frames and the outcome, one after the other. */
  private told: Promise<void> = Promise.resolve();
  private outcomeOnItsWay = false;
  private over = false;
  /** When it was to be free by all that was known before it was overdue. */
  private dueUnixMs: UtcMillis;
  private readonly graceMs: Millis;

  /**
   * @param onFree called once, when the outcome is in the journal and the telescope has stopped
   * @param onStuck called when it does not stop
   */
  constructor(
    private readonly parts: ActionParts,
    readonly action: Action,
    private readonly onFree: (atUnixMs: UtcMillis) => void,
    private readonly onStuck: (reason: string) => Promise<void>,
  ) {
    this.dueUnixMs = action.freeUnixMs;
    this.graceMs = Math.max(ON_TIME, ON_TIME_REAL * parts.clock.speed);
    this.watchDue(action.freeUnixMs + this.graceMs);
    this.work = this.beginWork();
  }

  exposing(frame: number, startUnixMs: UtcMillis): void {
    const { times, request } = this.action;
    this.exposed = { frame, startUnixMs };
    const left = (times.exposingMs / request.frames) * (request.frames - frame + 1);
    this.dueUnixMs = Math.round(startUnixMs + left + times.handOverMs);
    const saidUnixMs = this.parts.desk.state.taken?.freeUnixMs ?? this.dueUnixMs;
    if (Math.abs(this.dueUnixMs - saidUnixMs) > ON_TIME) void this.revise(this.dueUnixMs);
  }

  frame(frame: FrameRecord | Promise<FrameRecord>, atUnixMs: UtcMillis, onceKey?: string): Promise<void> {
    // Looked at in its turn; a rejection before that is no unhandled one.
    const settled = Promise.resolve(frame).then(
      (record) => ({ record }),
      (error: Error) => ({ error }),
    );
    return this.inTurn(async () => this.keep(await settled, atUnixMs, onceKey));
  }

  ended(atUnixMs: UtcMillis, samples: readonly OverheadSample[] = [], onceKey?: string): Promise<void> {
    const { number } = this.action.request;
    const measured: NightslateEvent[] =
      samples.length > 0 ? [{ type: "overheads.measured", number, samples }] : [];
    const events: NightslateEvent[] = [...measured, { type: "request.completed", number }];
    return this.inTurn(() => this.end(events, { atUnixMs, onceKey }));
  }

  failed(reason: string, atUnixMs: UtcMillis, onceKey?: string): Promise<void> {
    return this.inTurn(() => this.end([this.failure(reason)], { atUnixMs, onceKey }));
  }

  returned(reason: string, atUnixMs: UtcMillis, onceKey?: string): Promise<void> {
    const { number } = this.action.request;
    const events: NightslateEvent[] = [{ type: "request.returned", number, reason, by: null }];
    return this.inTurn(() => this.end(events, { atUnixMs, onceKey }));
  }

  /**
   * It is over in the journal. News of its own outcome is none.
   * @param stopping staff or its owner have ended it: the link stops; null when it was said to be done or to have failed
   */
  takenAway(stopping: StoppingState | null): void {
    if (this.outcomeOnItsWay || this.over) return;
    this.letGo();
    const stood = stopping ? this.stopWork(stopping.reason) : Promise.resolve();
    void stood.then(() => this.onFree(this.parts.clock.now()));
  }

  /** Leaves it as it is. */
  letGo(): void {
    this.over = true;
    for (const callOff of this.timers) callOff();
    this.timers.clear();
  }

  private beginWork(): Work {
    const { link, log, clock } = this.parts;
    try {
      return link.begin(this.action, this);
    } catch (error) {
      const { number } = this.action.request;
      log.error({ request: number, reason: (error as Error).message }, "the link could not begin");
      void this.failed("the telescope could not begin it; the operator's log says why", clock.now());
      return { stop: async () => {} };
    }
  }

  private inTurn(step: () => Promise<void>): Promise<void> {
    this.told = this.told.then(() => (this.over || this.outcomeOnItsWay ? undefined : step()));
    return this.told;
  }

  private async keep(
    made: { record: FrameRecord } | { error: Error },
    atUnixMs: UtcMillis,
    onceKey?: string,
  ): Promise<void> {
    const { log, desk } = this.parts;
    const { number } = this.action.request;
    if (this.over) return;
    if ("error" in made) {
      log.error({ request: number, reason: made.error.message }, "a frame could not be kept");
      return this.breakOff(unkeptReason(made.error), { atUnixMs, onceKey });
    }
    const fault = faultOf(desk.state.equipment);
    if (fault !== null) return this.breakOff(fault, { atUnixMs, onceKey });
    await this.journal([{ type: "frame.done", number, frame: made.record }], { atUnixMs, onceKey });
  }

  /** Fails it for a reason that the link does not know of. */
  private breakOff(reason: string, told: Telling): Promise<void> {
    return this.end([{ ...this.failure(reason), stopping: true }], told, () => this.stopWork(reason));
  }

  private failure(reason: string) {
    return { type: "request.failed", number: this.action.request.number, reason } as const;
  }

  private async end(
    events: readonly NightslateEvent[],
    told: Telling,
    afterwards: () => Promise<void> = async () => {},
  ): Promise<void> {
    this.outcomeOnItsWay = true;
    await this.journal(events, told);
    if (this.over) return;
    this.letGo();
    await afterwards();
    this.onFree(told.atUnixMs);
  }

  private async stopWork(reason: string | null): Promise<void> {
    try {
      await this.work.stop(reason);
    } catch (error) {
      await this.onStuck((error as Error).message);
    }
  }

  /** Journals what happened, unless the request was taken away meanwhile; a disk that refuses is asked again. */
  private async journal(events: readonly NightslateEvent[], { atUnixMs, onceKey }: Telling): Promise<void> {
    const { desk, clock, log } = this.parts;
    const { number } = this.action.request;
    for (let refused = false; !this.over; refused = true) {
      try {
        await desk.act((state) => (state.taken?.number === number ? events : []), {
          by: "telescope",
          atUnixMs,
          onceKey: onceKey ?? null,
        });
        return;
      } catch (error) {
        const reason = (error as Error).message;
        if (!refused) log.error({ request: number, reason }, "the journal refused; trying on");
        await new Promise<void>((done) => this.at(clock.now() + storeRetryMillis(clock), done));
      }
    }
  }

  /** Overdue by some time, it is taken to need as long again: nobody is told that it is over any moment. */
  private watchDue(unixMs: UtcMillis): void {
    this.at(unixMs, () => {
      if (this.outcomeOnItsWay) return;
      const nowUnixMs = this.parts.clock.now();
      const overdueMs = nowUnixMs - this.dueUnixMs;
      if (overdueMs < this.graceMs) return this.watchDue(this.dueUnixMs + this.graceMs);
      void this.revise(nowUnixMs + overdueMs);
      this.watchDue(nowUnixMs + overdueMs);
    });
  }

  /** What a full disk does not take is said again at the next turn of events. */
  private async revise(freeUnixMs: UtcMillis): Promise<void> {
    const { desk, log } = this.parts;
    const { number } = this.action.request;
    try {
      await desk.act(
        ({ taken }) => (taken?.number === number ? [{ type: "action.revised", number, freeUnixMs }] : []),
        { by: "telescope" },
      );
    } catch (error) {
      log.warn({ request: number, reason: (error as Error).message }, "a revised time was not stored");
    }
  }

  private at(unixMs: UtcMillis, action: () => void): void {
    const callOff = this.parts.clock.at(unixMs, () => {
      this.timers.delete(callOff);
      action();
    });
    this.timers.add(callOff);
  }
}

/** Why no frame can come while a part is at fault; null when none is. */
function faultOf(equipment: Equipment): string | null {
  if (equipment.telescope === "fault") return "the telescope reported a fault";
  return equipment.camera === "fault" ? "the camera reported a fault" : null;
}

/** Errors of a worker arrive without their code. */
function unkeptReason({ message }: Error): string {
  return /\b(ENOSPC|EDQUOT)\b/.test(message)
    ? "the disk is full, so the frame could not be kept; the operator has to make room"
    : "the frame could not be written to disk; the operator's log says why";
}
