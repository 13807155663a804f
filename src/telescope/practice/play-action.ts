/** Plays one action of the practice telescope: exposures at their instants, frames, then the outcome. */
import type { CallOff, Clock } from "../../base/clock.js";
import { type Millis, SECOND, type UtcMillis } from "../../base/units.js";
import type { Equipment, FrameRecord, NightslateEvent, OverheadSample } from "../../journal/events.js";
import type { State } from "../../journal/state.js";
import type { Request } from "../../queue/request.js";
import type { LinkHost } from "../link.js";
import type { Action } from "./status.js";

/** How long to wait before a refused write is tried again: seconds of the telescope's time, and of real time at least. */
const STORE_RETRY = 10 * SECOND;
const STORE_RETRY_REAL = 2 * SECOND;

/** The same as a wait on a clock. */
export function storeRetryMillis({ speed }: Pick<Clock, "speed">): Millis {
  return Math.max(STORE_RETRY, STORE_RETRY_REAL * speed);
}

/** One exposure to be simulated. */
export interface FrameOrder {
  readonly request: Request;
  /** 1-based. */
  readonly index: number;
  readonly startUnixMs: UtcMillis;
  readonly state: State;
}

export interface PlayOptions {
  /** Makes the files and the verdict of one frame. */
  readonly makeFrame: (order: FrameOrder) => Promise<FrameRecord>;
  /** Stops the practice clock while a frame takes longer to simulate than to expose. */
  readonly pauseClock: () => CallOff;
}

/** One action under way, from its first exposure to come. */
export class ActionPlay {
  private timers: CallOff[] = [];
  private over = false;
  private outcomeOnItsWay = false;

  /**
   * @param framesDone frames already handed over, before a restart
   * @param samples what the action teaches about the machines' times
   * @param onOver called once, when the outcome is in the journal
   */
  constructor(
    private readonly host: LinkHost,
    private readonly options: PlayOptions,
    readonly action: Action,
    framesDone: number,
    private readonly samples: readonly OverheadSample[],
    private readonly onOver: () => void,
  ) {
    const frameMs = frameMillis(action.request, host);
    let frames: Promise<void> = Promise.resolve();
    for (let index = framesDone + 1; index <= action.request.frames; index++) {
      const startUnixMs = action.exposingUnixMs + (index - 1) * frameMs;
      this.at(startUnixMs, () => {
        const earlier = frames;
        frames = this.expose(index, startUnixMs, startUnixMs + frameMs, earlier);
      });
    }
    this.at(action.freeUnixMs, () => void frames.then(() => this.complete()));
  }

  /** The action's own outcome is being journalled: news of it is no cancellation. */
  get ending(): boolean {
    return this.outcomeOnItsWay;
  }

  /** Leaves it as it is: cancelled by staff, or the program ends. */
  abandon(): void {
    this.over = true;
    for (const callOff of this.timers) callOff();
    this.timers = [];
  }

  /** Simulates while the exposure runs, and hands the frame over when it and all earlier ones have ended. */
  private async expose(
    index: number,
    startUnixMs: UtcMillis,
    endUnixMs: UtcMillis,
    earlier: Promise<void>,
  ): Promise<void> {
    const { desk, clock, log } = this.host;
    const { request } = this.action;
    const ended = new Promise<void>((done) => this.timers.push(clock.at(endUnixMs, done)));
    try {
      const made = this.options.makeFrame({ request, index, startUnixMs, state: desk.state });
      const frame = await this.whenEnded(made, ended);
      await earlier;
      const fault = faultOf(desk.state.equipment);
      if (fault === null)
        await this.report([{ type: "frame.done", number: request.number, frame }], endUnixMs);
      else await this.fail(fault, endUnixMs);
    } catch (error) {
      log.error(
        { request: request.number, reason: (error as Error).message },
        "a frame could not be written",
      );
      await this.fail(unwrittenReason(error as Error), endUnixMs);
    }
  }

  /** The frame, not before its exposure has ended; the clock waits for a frame that is late. */
  private async whenEnded(made: Promise<FrameRecord>, ended: Promise<void>): Promise<FrameRecord> {
    let late = true;
    const settled = made.then(
      () => (late = false),
      () => (late = false),
    );
    await ended;
    if (late) {
      const goOn = this.options.pauseClock();
      await settled;
      goOn();
    }
    return made;
  }

  private async complete(): Promise<void> {
    const { number } = this.action.request;
    const { samples } = this;
    const measured: NightslateEvent[] =
      samples.length > 0 ? [{ type: "overheads.measured", number, samples }] : [];
    await this.end([...measured, { type: "request.completed", number }], this.action.freeUnixMs);
  }

  private fail(reason: string, atUnixMs: UtcMillis): Promise<void> {
    return this.end([{ type: "request.failed", number: this.action.request.number, reason }], atUnixMs);
  }

  private async end(events: readonly NightslateEvent[], atUnixMs: UtcMillis): Promise<void> {
    if (this.over) return;
    this.outcomeOnItsWay = true;
    await this.report(events, atUnixMs);
    if (this.over) return;
    this.abandon();
    this.onOver();
  }

  /** Journals what happened, unless staff cancelled the request meanwhile; a disk that refuses is asked again. */
  private async report(events: readonly NightslateEvent[], atUnixMs: UtcMillis): Promise<void> {
    const { desk, clock, log } = this.host;
    const { number } = this.action.request;
    const decide = (state: State): readonly NightslateEvent[] =>
      state.taken?.number === number ? events : [];
    let refused = false;
    while (!this.over) {
      try {
        await desk.act(decide, { by: "telescope", atUnixMs });
        return;
      } catch (error) {
        if (!refused) {
          log.error({ request: number, reason: (error as Error).message }, "the journal refused; trying on");
        }
        refused = true;
        const again = clock.now() + storeRetryMillis(clock);
        await new Promise<void>((done) => this.timers.push(clock.at(again, done)));
      }
    }
  }

  private at(unixMs: UtcMillis, action: () => void): void {
    this.timers.push(this.host.clock.at(unixMs, action));
  }
}

/** One exposure with its read-out, milliseconds. */
export function frameMillis(request: Request, { config }: LinkHost): number {
  return Math.round((request.exposureSeconds + config.observatory.camera.readOutSeconds) * SECOND);
}

/** Why no frame can come while a part is at fault; null when none is. */
function faultOf(equipment: Equipment): string | null {
  if (equipment.telescope === "fault") return "the telescope reported a fault";
  return equipment.camera === "fault" ? "the camera reported a fault" : null;
}

/** Errors of a worker arrive without their code. */
function unwrittenReason({ message }: Error): string {
  return /\b(ENOSPC|EDQUOT)\b/.test(message)
    ? "the disk is full, so the frame could not be kept; the operator has to make room"
    : "the frame could not be written to disk; the operator's log says why";
}
