/** Mount, dome, wheel and shutter while a night is played: where they stand, and how long the next move takes. */
import { DEGREES_PER_RADIAN, type Degrees, type Millis, SECOND, type UtcMillis } from "../base/units.js";
import { type Timing, timingOf } from "../observatory/action-times.js";
import { Aiming } from "../observatory/aim.js";
import { axisSeconds, wheelSlots } from "../observatory/axis.js";
import type { ActionTimes, Observatory, OverheadFactors, Pointing } from "../observatory/observatory.js";
import type { Request } from "../queue/request.js";
import { sinAltitudeAt, type Track } from "../sky/track.js";
import type { Decider, Turn } from "./night-run.js";

/** More than any axis turns in one move: a whole circle, and half of one tracked past it. */
const LONGEST_TURN_DEGREES = 540;

export class Machines {
  readonly shortestReadyMs: Millis;
  readonly longestReadyMs: Millis;
  readonly handOverMs: Millis;
  private readonly timing: Timing;
  private readonly aiming: Aiming;

  constructor(
    observatory: Observatory,
    overheads: OverheadFactors,
    public pointing: Pointing,
  ) {
    this.timing = timingOf(observatory, overheads);
    this.aiming = new Aiming(observatory);
    this.shortestReadyMs = Math.round(observatory.mount.settleSeconds * SECOND * overheads.settle);
    this.handOverMs = Math.round(observatory.handOverSeconds * SECOND * overheads.handOver);
    this.longestReadyMs = longestReadyMs(observatory, overheads);
  }

  /** How long a request's exposures take, wherever the telescope stands. */
  exposingMs(request: Request): Millis {
    return this.timing.exposingMs(request);
  }

  /** All parts of one action that begins at an instant. */
  times(track: Track, unixMs: UtcMillis, request: Request): ActionTimes {
    this.aiming.start(track, unixMs);
    return this.timing.times(this.pointing, this.aiming.aim, request);
  }

  /**
   * One whole action that begins at an instant, and what put it before the others; the machines stand where it
   * leaves them afterwards. Made in one go: a turn that is put together of parts costs as much again.
   */
  act(
    track: Track,
    takenUnixMs: UtcMillis,
    request: Request,
    decider: Decider,
    aheadOf: number | null,
  ): Turn {
    const times = this.times(track, takenUnixMs, request);
    const exposingUnixMs = takenUnixMs + times.readyMs;
    const freeUnixMs = takenUnixMs + times.totalMs;
    this.follow(track, freeUnixMs, request);
    return {
      number: request.number,
      takenUnixMs,
      times,
      exposingUnixMs,
      freeUnixMs,
      altitudeDegrees: altitudeAt(track, exposingUnixMs),
      pointingAfter: this.pointing,
      decider,
      aheadOf,
    };
  }

  /** Brings the machines to where they stand when the action whose times were last asked for ends. */
  follow(track: Track, freeUnixMs: UtcMillis, request: Request): void {
    this.aiming.follow(track, freeUnixMs);
    this.pointing = this.timing.pointingAfter(this.aiming.aim, request.filter);
  }
}

function longestReadyMs(observatory: Observatory, overheads: OverheadFactors): Millis {
  const { camera, dome, mount } = observatory;
  const slew = Math.max(
    axisSeconds(LONGEST_TURN_DEGREES, mount.firstAxis),
    axisSeconds(LONGEST_TURN_DEGREES, mount.secondAxis),
  );
  const turn = dome === null ? 0 : axisSeconds(180, dome.rotation);
  const change = Math.floor(wheelSlots(camera) / 2) * camera.filterStepSeconds;
  const opening = dome?.shutterSeconds ?? 0;
  const longest = Math.max(
    slew * overheads.slew,
    turn * overheads.dome,
    change * overheads.filter,
    opening * overheads.shutter,
  );
  return Math.ceil((longest + mount.settleSeconds * overheads.settle) * SECOND) + 1;
}

function altitudeAt(track: Track, unixMs: UtcMillis): Degrees {
  const sine = sinAltitudeAt(track, unixMs);
  return Math.asin(Math.max(-1, Math.min(1, sine))) * DEGREES_PER_RADIAN;
}
