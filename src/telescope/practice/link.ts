/** The practice telescope: takes requests in the forecast's order and plays each action on the clock it is given. */
import type { CallOff } from "../../base/clock.js";
import { HOUR, SECOND, type UtcMillis } from "../../base/units.js";
import type { Step, Turn } from "../../forecast/night-run.js";
import type { Equipment, FrameRecord, NightslateEvent } from "../../journal/events.js";
import type { State, TakenState } from "../../journal/state.js";
import type { TelescopeStatus } from "../../journal/telescope-status.js";
import type { OverheadFactors } from "../../observatory/observatory.js";
import type { Request } from "../../queue/request.js";
import type { LinkHost, TelescopeLink } from "../link.js";
import { actualTimes, overheadSamples } from "./actual-times.js";
import { type Action, idleStatus, statusOf } from "./status.js";

/** How long to wait before a refused write is tried again. */
const STORE_RETRY = 10 * SECOND;

/** One exposure to be simulated. */
export interface FrameOrder {
  readonly request: Request;
  /** 1-based. */
  readonly index: number;
  readonly startUnixMs: UtcMillis;
  readonly state: State;
}

export interface PracticeOptions {
  /** Makes the files and the verdict of one frame. */
  readonly makeFrame: (order: FrameOrder) => Promise<FrameRecord>;
  /** The factors inside the times that the forecast gives; default: those that it has learned. */
  readonly learned?: () => OverheadFactors;
  /** Stops the practice clock while a frame takes longer to simulate than to expose. */
  readonly pauseClock: () => CallOff;
}

export class PracticeLink implements TelescopeLink {
  readonly name = "practice";
  private host: LinkHost | null = null;
  private action: Action | null = null;
  private timers: CallOff[] = [];
  private wake: CallOff = () => {};
  private quietened: () => void = () => {};
  private looking = false;
  private lookAgain = false;
  private stopped = false;

  constructor(private readonly options: PracticeOptions) {}

  async start(host: LinkHost): Promise<void> {
    this.host = host;
    await this.reportEquipment(host);
    this.quietened = host.desk.listen(() => this.onNews());
    const taken = host.desk.state.taken;
    if (taken) this.resume(taken);
    else await this.look(host.clock.now());
  }

  status(): TelescopeStatus {
    const host = this.need();
    const { state } = host.desk;
    if (!this.action) return idleStatus(state, host.clock.now(), host.config.observatory);
    return statusOf(this.action, state, host.clock.now(), host.config.observatory);
  }

  async stop(): Promise<void> {
    this.stopped = true;
    this.quietened();
    this.wake();
    this.callOffTimers();
  }

  /** The first evening begins with everything in order; what staff report later stands. */
  private async reportEquipment({ desk, config }: LinkHost): Promise<void> {
    const { camera } = config.telescope.practice;
    const first = desk.state.requests.size === 0 && desk.state.pointing === null;
    if (!first && camera === "fitted") return;
    const now = desk.state.equipment;
    const equipment: Equipment = first
      ? { telescope: "ready", dome: "open", sky: "clear", camera }
      : { ...now, camera };
    await desk.act(
      () => (sameEquipment(now, equipment) ? [] : [{ type: "equipment.changed", equipment, by: null }]),
      { by: "telescope" },
    );
  }

  private onNews(): void {
    const { state } = this.need().desk;
    if (this.action && state.taken?.number !== this.action.request.number) this.abandon();
    if (!this.action) void this.look(this.need().clock.now());
  }

  /** Decides at exactly `atUnixMs`, inside the desk, so that no request or hold slips between look and take. */
  private async look(atUnixMs: UtcMillis): Promise<void> {
    if (this.stopped || this.action) return;
    if (this.looking) {
      this.lookAgain = true;
      return;
    }
    this.looking = true;
    this.lookAgain = false;
    try {
      await this.decide(atUnixMs);
    } catch (error) {
      const host = this.need();
      host.log.error({ reason: (error as Error).message }, "the telescope could not take a request");
      this.wakeAt(host.clock.now() + 10 * SECOND);
    } finally {
      this.looking = false;
    }
    if (this.lookAgain && !this.action) await this.look(this.need().clock.now());
  }

  private async decide(atUnixMs: UtcMillis): Promise<void> {
    const { desk, forecast, clock } = this.need();
    let step: Step | null = null;
    let before: State["pointing"] = null;
    const acted = await desk.act(
      (state) => {
        if (state.taken || state.equipment.telescope === "fault") return [];
        before = state.pointing;
        step = forecast.nextStep(Math.max(atUnixMs, state.lastEntryUnixMs));
        return step.do === "take" ? [takenEvent(step.turn)] : [];
      },
      { by: "telescope", atUnixMs },
    );
    const chosen = step as Step | null;
    if (acted.entry && chosen?.do === "take") this.begin(chosen.turn, chosen.request, before);
    else if (chosen?.do === "wait") this.wakeAt(Math.min(chosen.untilUnixMs, clock.now() + 6 * HOUR));
  }

  private wakeAt(unixMs: UtcMillis): void {
    this.wake();
    this.wake = this.need().clock.at(unixMs, () => void this.look(unixMs));
  }

  private begin(turn: Turn, request: Request, pointingBefore: State["pointing"]): void {
    const { config, forecast } = this.need();
    const truth = config.telescope.practice;
    const learned = this.options.learned?.() ?? forecast.overheads();
    const actual = actualTimes(turn.times, learned, truth, truth.seed * 1_000_003 + request.number);
    const takenUnixMs = turn.takenUnixMs;
    this.play(
      {
        request,
        takenUnixMs,
        exposingUnixMs: takenUnixMs + actual.readyMs,
        freeUnixMs: takenUnixMs + actual.totalMs,
        times: actual,
        pointingBefore,
        pointingAfter: turn.pointingAfter,
      },
      0,
      overheadSamples(turn.times, learned, actual),
    );
  }

  /** After a restart: the rest of what was under way, at the times it was promised for. */
  private resume(taken: TakenState): void {
    const { desk, config } = this.need();
    const request = desk.state.requests.get(taken.number);
    if (!request) return;
    const handOverMs = Math.round(config.observatory.handOverSeconds * SECOND);
    const exposingMs = request.frames * this.frameMs(request);
    const exposingUnixMs = Math.max(taken.takenUnixMs, taken.freeUnixMs - handOverMs - exposingMs);
    const readyMs = exposingUnixMs - taken.takenUnixMs;
    const times = {
      slewMs: readyMs,
      domeMs: 0,
      filterMs: 0,
      shutterMs: 0,
      settleMs: 0,
      readyMs,
      exposingMs,
      handOverMs,
    };
    const { takenUnixMs, freeUnixMs } = taken;
    this.play(
      {
        request,
        takenUnixMs,
        exposingUnixMs,
        freeUnixMs,
        times: { ...times, totalMs: freeUnixMs - takenUnixMs },
        pointingBefore: null,
        pointingAfter: desk.state.pointing,
      },
      request.framesDone,
      [],
    );
  }

  private play(action: Action, framesDone: number, samples: ReturnType<typeof overheadSamples>): void {
    this.action = action;
    const frameMs = this.frameMs(action.request);
    let frames: Promise<void> = Promise.resolve();
    for (let index = framesDone + 1; index <= action.request.frames; index++) {
      const startUnixMs = action.exposingUnixMs + (index - 1) * frameMs;
      this.at(startUnixMs, () => {
        const earlier = frames;
        frames = this.expose(action, index, startUnixMs, startUnixMs + frameMs, earlier);
      });
    }
    this.at(action.freeUnixMs, () => void frames.then(() => this.finish(action, samples)));
  }

  /** Simulates while the exposure runs, and hands the frame over when it and all earlier ones have ended. */
  private async expose(
    action: Action,
    index: number,
    startUnixMs: UtcMillis,
    endUnixMs: UtcMillis,
    earlier: Promise<void>,
  ): Promise<void> {
    const { desk, clock, log } = this.need();
    const { request } = action;
    const ended = new Promise<void>((done) => this.timers.push(clock.at(endUnixMs, done)));
    try {
      const made = this.options.makeFrame({ request, index, startUnixMs, state: desk.state });
      const frame = await this.whenEnded(made, ended);
      await earlier;
      await this.report(action, [{ type: "frame.done", number: request.number, frame }], endUnixMs);
    } catch (error) {
      log.error(
        { request: request.number, reason: (error as Error).message },
        "a frame could not be written",
      );
      await this.fail(action, "the frame could not be written to disk", endUnixMs);
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

  private async finish(action: Action, samples: ReturnType<typeof overheadSamples>): Promise<void> {
    if (this.action !== action) return;
    const { number } = action.request;
    const measured: NightslateEvent[] =
      samples.length > 0 ? [{ type: "overheads.measured", number, samples }] : [];
    await this.report(action, [...measured, { type: "request.completed", number }], action.freeUnixMs);
    this.settle(action);
  }

  private async fail(action: Action, reason: string, atUnixMs: UtcMillis): Promise<void> {
    await this.report(action, [{ type: "request.failed", number: action.request.number, reason }], atUnixMs);
    this.settle(action);
  }

  /** Journals what happened, unless staff cancelled the request meanwhile; a disk that refuses is asked again. */
  private async report(
    action: Action,
    events: readonly NightslateEvent[],
    atUnixMs: UtcMillis,
  ): Promise<void> {
    const { desk, clock, log } = this.need();
    const { number } = action.request;
    const decide = (state: State): readonly NightslateEvent[] =>
      state.taken?.number === number ? events : [];
    for (;;) {
      try {
        await desk.act(decide, { by: "telescope", atUnixMs });
        return;
      } catch (error) {
        if (this.stopped) return;
        log.error({ request: number, reason: (error as Error).message }, "the journal refused; trying again");
        await new Promise<void>((done) => clock.at(clock.now() + STORE_RETRY, done));
      }
    }
  }

  private settle(action: Action): void {
    if (this.action !== action) return;
    this.action = null;
    this.callOffTimers();
    void this.look(action.freeUnixMs);
  }

  private abandon(): void {
    this.action = null;
    this.callOffTimers();
  }

  private at(unixMs: UtcMillis, action: () => void): void {
    this.timers.push(this.need().clock.at(unixMs, action));
  }

  private callOffTimers(): void {
    for (const callOff of this.timers) callOff();
    this.timers = [];
  }

  private frameMs(request: Request): number {
    return Math.round(
      (request.exposureSeconds + this.need().config.observatory.camera.readOutSeconds) * SECOND,
    );
  }

  private need(): LinkHost {
    if (!this.host) throw new Error("the practice telescope has not been started");
    return this.host;
  }
}

function sameEquipment(a: Equipment, b: Equipment): boolean {
  return a.telescope === b.telescope && a.dome === b.dome && a.camera === b.camera && a.sky === b.sky;
}

function takenEvent(turn: Turn): NightslateEvent {
  const { number, freeUnixMs, altitudeDegrees, airmass, pointingAfter } = turn;
  return { type: "request.taken", number, freeUnixMs, altitudeDegrees, airmass, pointingAfter };
}
