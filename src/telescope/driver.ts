/** Drives any telescope: takes requests in the forecast's order, has its link carry them out, journals what comes of it. */
import type { CallOff } from "../base/clock.js";
import { Refusal } from "../base/refusal.js";
import { HOUR, type UtcMillis } from "../base/units.js";
import type { Config } from "../config/config.js";
import type { ForecastService } from "../estimates/forecast-service.js";
import { stoodEvents, takenEvents } from "../estimates/taking.js";
import type { Step } from "../forecast/night-run.js";
import { type Equipment, type Hold, type NightslateEvent, TELESCOPE } from "../journal/events.js";
import type { State, TakenState } from "../journal/state.js";
import type { TelescopeStatus } from "../journal/telescope-status.js";
import { type ActionParts, ActionUnderWay, storeRetryMillis } from "./action-under-way.js";
import { DiskRoom, LOOK_AGAIN } from "./disk-room.js";
import type { Action, KeepFrame } from "./link.js";
import { promisedAction } from "./promised-action.js";
import { remindWhenOverdue } from "./reminder.js";
import { idleStatus, statusOf } from "./status.js";

export interface DriverParts extends ActionParts {
  readonly config: Config;
  readonly forecast: Pick<ForecastService, "nextStep" | "overheads" | "workAt">;
}

export class TelescopeDriver {
  private running: ActionUnderWay | null = null;
  private readonly callOffs: Record<"wake" | "report" | "hold" | "reminder" | "listening", CallOff> = {
    wake: () => {},
    report: () => {},
    hold: () => {},
    reminder: () => {},
    listening: () => {},
  };
  /** Equipment that the link has reported and the journal does not know yet. */
  private reported: Partial<Equipment> = {};
  private looking = false;
  private lookAgain = false;
  private stopped = false;
  /** Said in the log once. */
  private refused = false;

  private readonly disk: DiskRoom;

  constructor(private readonly parts: DriverParts) {
    const { link, config, log } = parts;
    this.disk = new DiskRoom(link.frames, config.observatory.camera, log);
  }

  async start(): Promise<void> {
    const { link, desk, clock, config, log } = this.parts;
    await link.start({
      clock,
      config,
      log,
      state: () => desk.state,
      report: (changes) => this.report(changes),
      forecast: this.parts.forecast,
      act: (decide, options) => desk.act(decide, { ...options, by: "telescope" }),
      hold: (reason) => this.hold(reason),
    });
    this.callOffs.listening = desk.listen(({ events }) => this.onNews(events));
    const { taken, stopping } = desk.state;
    if (taken) return this.takeUp(taken, true);
    if (stopping)
      await link.stopLeftOver(stopping).catch((error: Error) => this.stuck(stopping.number, error.message));
    await this.look(clock.now());
  }

  status(): TelescopeStatus {
    const { desk, clock, config, link } = this.parts;
    const now = clock.now();
    const { running } = this;
    return running && !desk.state.stopping
      ? statusOf(running, desk.state, now, config.observatory, link)
      : idleStatus(desk.state, now, config.observatory, link);
  }

  /**
   * Does something with frames that an operator hands over.
   * @throws {Refusal} when this telescope takes none
   */
  handOver<T>(work: (keep: KeepFrame) => Promise<T>): Promise<T> {
    const { link } = this.parts;
    if (link.handOver) return link.handOver(work);
    throw new Refusal("no-frames", "This telescope delivers its frames by itself: mark it without any.");
  }

  /** Looks no more and finishes nothing: a request under way is taken up again at the next start. */
  async stop(): Promise<void> {
    this.stopped = true;
    for (const callOff of Object.values(this.callOffs)) callOff();
    this.running?.letGo();
    await this.parts.link.close();
    await this.parts.link.frames?.close();
  }

  private async report(changes: Partial<Equipment>): Promise<void> {
    this.reported = { ...this.reported, ...changes };
    await this.storeReported();
  }

  private async storeReported(): Promise<void> {
    const { desk, clock, log } = this.parts;
    const { reported } = this;
    this.callOffs.report();
    if (this.stopped) return;
    try {
      await desk.act((state) => equipmentEvents(state, reported), { by: "telescope" });
      if (this.reported === reported) this.reported = {};
    } catch (error) {
      log.warn(
        { reason: (error as Error).message },
        "the state of the equipment could not be stored; trying on",
      );
      const again = clock.now() + storeRetryMillis(clock);
      this.callOffs.report = clock.at(again, () => void this.storeReported());
    }
  }

  private async hold(reason: string): Promise<void> {
    const { desk, clock, log } = this.parts;
    this.callOffs.hold();
    if (this.stopped) return;
    try {
      await desk.act(({ hold }, now) => holdEvents(hold, reason, now), { by: TELESCOPE });
    } catch (error) {
      log.warn({ reason: (error as Error).message }, "a hold could not be stored; trying on");
      const again = clock.now() + storeRetryMillis(clock);
      this.callOffs.hold = clock.at(again, () => void this.hold(reason));
    }
  }

  private onNews(events: readonly NightslateEvent[]): void {
    const { desk, clock, link } = this.parts;
    link.heard?.(events);
    const { running } = this;
    for (const event of events) if (event.type === "night.began") this.removeOldFrames(event.date);
    if (running) {
      const { number } = running.action.request;
      if (desk.state.taken?.number !== number) running.takenAway(desk.state.stopping);
    } else void this.look(clock.now());
  }

  /** An operator or a program says what is taken, and the journal tells the driver. */
  private get waitsForWord(): boolean {
    return this.parts.link.traits.takenBy !== "queue";
  }

  /** Files of nights past the configuration's `keepDays`. */
  private removeOldFrames(date: string): void {
    this.parts.link.frames?.removeOld(date).catch((error: Error) => {
      const said = "old frames could not be removed; they are tried again at noon";
      this.parts.log.warn({ reason: error.message }, said);
    });
  }

  /** Decides at exactly `atUnixMs`, inside the desk, so that no request or hold slips between look and take. */
  private async look(atUnixMs: UtcMillis): Promise<void> {
    const { desk, clock, log } = this.parts;
    if (this.stopped || this.running) return;
    const { taken } = desk.state;
    if (taken && this.waitsForWord) return this.takeUp(taken, false);
    if (this.looking) {
      this.lookAgain = true;
      return;
    }
    this.looking = true;
    this.lookAgain = false;
    try {
      await this.decide(atUnixMs);
      this.refused = false;
    } catch (error) {
      if (!this.refused)
        log.error({ reason: (error as Error).message }, "the telescope could not take a request");
      this.refused = true;
      this.wakeAt(clock.now() + storeRetryMillis(clock));
    } finally {
      this.looking = false;
    }
    if (this.lookAgain && !this.running) await this.look(clock.now());
  }

  private async decide(atUnixMs: UtcMillis): Promise<void> {
    const { desk, forecast, clock } = this.parts;
    await this.disk.measure();
    let step: Step | null = null;
    let begins = false;
    let pointingBefore: State["pointing"] = null;
    const acted = await desk.act(
      (state) => {
        if (state.taken) return [];
        pointingBefore = state.pointing;
        if (state.diskShort) return [...stoodEvents(state), ...this.disk.againFor(state)];
        step = forecast.nextStep(Math.max(atUnixMs, state.lastEntryUnixMs));
        if (step.do === "wait") return stoodEvents(state);
        const short = this.disk.shortFor(step.request);
        if (short.length > 0 || this.waitsForWord) return [...stoodEvents(state), ...short];
        begins = true;
        return takenEvents(state, step.turn);
      },
      { by: "telescope", atUnixMs },
    );
    const chosen = step as Step | null;
    if (acted.entry && begins && chosen?.do === "take") {
      const { turn, request } = chosen;
      this.begin({
        ...{ request, pointingBefore, overheads: forecast.overheads(), framesDone: 0, resumed: false },
        ...turn,
      });
    } else if (desk.state.diskShort) this.wakeAt(clock.now() + LOOK_AGAIN * clock.speed);
    else if (chosen?.do === "wait") this.wakeAt(Math.min(chosen.untilUnixMs, clock.now() + 6 * HOUR));
  }

  private wakeAt(unixMs: UtcMillis): void {
    this.callOffs.wake();
    this.callOffs.wake = this.parts.clock.at(unixMs, () => void this.look(unixMs));
  }

  private takeUp(taken: TakenState, resumed: boolean): void {
    const { desk, config, forecast } = this.parts;
    const request = desk.state.requests.get(taken.number);
    if (!request) return;
    const promised = promisedAction(request, taken, config.observatory);
    const { pointing } = desk.state;
    this.begin({
      ...{
        ...promised,
        resumed,
        overheads: forecast.overheads(),
        pointingBefore: null,
        pointingAfter: pointing,
      },
    });
  }

  private begin(action: Action): void {
    if (this.stopped) return;
    const { taken } = this.parts.desk.state;
    if (taken && this.parts.link.traits.takenBy === "operator") {
      this.callOffs.reminder();
      this.callOffs.reminder = remindWhenOverdue(this.parts, taken);
    }
    this.running = new ActionUnderWay(
      this.parts,
      action,
      (freeUnixMs) => {
        this.running = null;
        void this.look(freeUnixMs);
      },
      (reason) => this.stuck(action.request.number, reason),
    );
  }

  /** A telescope that does not stop takes nothing until staff have looked at it. */
  private stuck(request: number, reason: string): Promise<void> {
    this.parts.log.error({ request, reason }, "the telescope did not stop");
    return this.report({ telescope: "fault" });
  }
}

/** What of the equipment has changed, if anything. */
export function equipmentEvents(
  { equipment: before, domeByStaff }: Pick<State, "equipment" | "domeByStaff">,
  reported: Partial<Equipment>,
): NightslateEvent[] {
  const equipment = { ...before, ...reported };
  // A dome that staff keep shut is theirs to release.
  if (domeByStaff && before.dome === "kept-shut" && equipment.dome !== "fault") equipment.dome = before.dome;
  const parts = Object.keys(equipment) as (keyof Equipment)[];
  return parts.every((part) => before[part] === equipment[part])
    ? []
    : [{ type: "equipment.changed", equipment, by: null }];
}

/** The telescope's own hold says what is to be looked at now; a hold of staff's stays theirs and gains that. */
function holdEvents(hold: Hold | null, reason: string, now: UtcMillis): NightslateEvent[] {
  if (hold?.reason.includes(reason)) return [];
  const sinceUnixMs = hold?.sinceUnixMs ?? now;
  const placed: Hold =
    hold === null || hold.by === TELESCOPE
      ? { reason, by: TELESCOPE, sinceUnixMs, untilUnixMs: null }
      : { ...hold, reason: `${hold.reason}; ${reason}`, untilUnixMs: null };
  return [{ type: "hold.placed", hold: placed }];
}
