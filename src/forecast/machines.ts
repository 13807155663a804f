/** Mount, dome, wheel and shutter while a night is played: where they stand, and how long the next move takes. */
import { type Millis, SECOND, type UtcMillis } from "../base/units.js";
import { type Timing, timingOf } from "../observatory/action-times.js";
import { type Aim, aimAfterTracking, aimAt } from "../observatory/aim.js";
import { axisSeconds } from "../observatory/axis.js";
import { wheelSlots } from "../observatory/filter-wheel.js";
import type { ActionTimes, Observatory, OverheadFactors, Pointing } from "../observatory/observatory.js";
import type { Request } from "../queue/request.js";
import type { Track } from "../sky/track.js";

/** More than any axis turns in one move: a whole circle, and half of one tracked past it. */
const LONGEST_TURN_DEGREES = 540;

export class Machines {
  readonly shortestReadyMs: Millis;
  readonly longestReadyMs: Millis;
  readonly handOverMs: Millis;
  private readonly timing: Timing;
  private followed: Aim | null = null;
  private followedTrack: Track | null = null;
  private followedUnixMs: UtcMillis = Number.NaN;

  constructor(
    private readonly observatory: Observatory,
    overheads: OverheadFactors,
    public pointing: Pointing,
  ) {
    this.timing = timingOf(observatory, overheads);
    this.shortestReadyMs = Math.round(observatory.mount.settleSeconds * SECOND * overheads.settle);
    this.handOverMs = Math.round(observatory.handOverSeconds * SECOND * overheads.handOver);
    this.longestReadyMs = longestReadyMs(observatory, overheads);
  }

  /** Which way to point at a target; where it has just been followed to this very instant, the aim is known. */
  aim(track: Track, unixMs: UtcMillis): Aim {
    const known = this.followed !== null && track === this.followedTrack && unixMs === this.followedUnixMs;
    return known ? (this.followed as Aim) : aimAt(track, unixMs, this.observatory);
  }

  /** How long a request's exposures take, wherever the telescope stands. */
  exposingMs(request: Request): Millis {
    return this.timing.exposingMs(request);
  }

  /** All parts of one action that begins now with this aim. */
  times(aim: Aim, request: Request): ActionTimes {
    return this.timing.times(this.pointing, aim, request);
  }

  /** Where the machines stand once they are free: they have followed the target until then. */
  pointingAfter(aim: Aim, track: Track, freeUnixMs: UtcMillis, request: Request): Pointing {
    const followed = aimAfterTracking(aim, track, freeUnixMs, this.observatory);
    this.followed = this.isFresh(followed) ? followed : null;
    this.followedTrack = track;
    this.followedUnixMs = freeUnixMs;
    return this.timing.pointingAfter(followed, request.filter);
  }

  /** Whether a fresh aim would be the same: a fork's, unless its hour angle has been followed past a half turn. */
  private isFresh({ firstAxisDegrees }: Aim): boolean {
    const fork = this.observatory.mount.kind === "equatorial-fork";
    return fork && firstAxisDegrees >= -180 && firstAxisDegrees < 180;
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
