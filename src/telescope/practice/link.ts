/** The practice telescope: takes requests in the forecast's order and plays each action on the clock it is given. */

import type { CallOff } from "../../base/clock.js";
import { HOUR, SECOND, type UtcMillis } from "../../base/units.js";
import type { Step, Turn } from "../../forecast/night-run.js";
import type { Equipment, NightslateEvent, OverheadSample } from "../../journal/events.js";
import type { State, TakenState } from "../../journal/state.js";
import type { TelescopeStatus } from "../../journal/telescope-status.js";
import type { OverheadFactors } from "../../observatory/observatory.js";
import type { Request } from "../../queue/request.js";
import { airmassAtTrue } from "../../sky/airmass.js";
import type { LinkHost, TelescopeLink } from "../link.js";
import { actualTimes, overheadSamples } from "./actual-times.js";
import { cloudyAt, spellEnd } from "./cloud.js";
import { ActionPlay, frameMillis, type PlayOptions, storeRetryMillis } from "./play-action.js";
import { type Action, idleStatus, statusOf } from "./status.js";

export interface PracticeOptions extends PlayOptions {
  /** The factors inside the times that the forecast gives; default: those that it has learned. */
  readonly learned?: () => OverheadFactors;
}

export class PracticeLink implements TelescopeLink {
  readonly name = "practice";
  private host: LinkHost | null = null;
  private running: ActionPlay | null = null;
  private wake: CallOff = () => {};
  private spell: CallOff = () => {};
  private quietened: () => void = () => {};
  private looking = false;
  private lookAgain = false;
  private stopped = false;
  /** Said in the log once. */
  private refused = false;

  constructor(private readonly options: PracticeOptions) {}

  async start(host: LinkHost): Promise<void> {
    this.host = host;
    await this.reportEquipment(host);
    await this.watchSky();
    this.quietened = host.desk.listen(() => this.onNews());
    const taken = host.desk.state.taken;
    if (taken) this.resume(taken);
    else await this.look(host.clock.now());
  }

  status(): TelescopeStatus {
    const host = this.need();
    const { state } = host.desk;
    if (!this.running) return idleStatus(state, host.clock.now(), host.config.observatory);
    return statusOf(this.running.action, state, host.clock.now(), host.config.observatory);
  }

  async stop(): Promise<void> {
    this.stopped = true;
    this.quietened();
    this.wake();
    this.spell();
    this.running?.abandon();
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

  /** Says what passing cloud does at the start of each spell; without cloud in the configuration, nothing. */
  private async watchSky(): Promise<void> {
    const { desk, clock, config, log } = this.need();
    const { cloudFraction, seed } = config.telescope.practice;
    if (cloudFraction === 0 || this.stopped) return;
    const now = clock.now();
    const sky = cloudyAt(now, cloudFraction, seed) ? "cloud" : "clear";
    this.spell = clock.at(spellEnd(now), () => void this.watchSky());
    try {
      await desk.act(
        ({ equipment }) =>
          equipment.sky === sky
            ? []
            : [{ type: "equipment.changed", equipment: { ...equipment, sky }, by: null }],
        { by: "telescope" },
      );
    } catch (error) {
      log.warn({ reason: (error as Error).message }, "the state of the sky could not be stored");
    }
  }

  private onNews(): void {
    const { state } = this.need().desk;
    const { running } = this;
    if (running && !running.ending && state.taken?.number !== running.action.request.number) {
      running.abandon();
      this.running = null;
    }
    if (!this.running) void this.look(this.need().clock.now());
  }

  /** Decides at exactly `atUnixMs`, inside the desk, so that no request or hold slips between look and take. */
  private async look(atUnixMs: UtcMillis): Promise<void> {
    if (this.stopped || this.running) return;
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
      const host = this.need();
      if (!this.refused)
        host.log.error({ reason: (error as Error).message }, "the telescope could not take a request");
      this.refused = true;
      this.wakeAt(host.clock.now() + storeRetryMillis(host.clock));
    } finally {
      this.looking = false;
    }
    if (this.lookAgain && !this.running) await this.look(this.need().clock.now());
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
    const exposingMs = request.frames * frameMillis(request, this.need());
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

  private play(action: Action, framesDone: number, samples: readonly OverheadSample[]): void {
    const onOver = (): void => {
      this.running = null;
      void this.look(action.freeUnixMs);
    };
    this.running = new ActionPlay(this.need(), this.options, action, framesDone, samples, onOver);
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
  const { number, freeUnixMs, altitudeDegrees, pointingAfter } = turn;
  const airmass = airmassAtTrue(altitudeDegrees);
  return { type: "request.taken", number, freeUnixMs, altitudeDegrees, airmass, pointingAfter };
}
