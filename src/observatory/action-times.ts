/** How long one request occupies the telescope, part by part. */
import { type Millis, SECOND, type Seconds } from "../base/units.js";
import type { Aim } from "./aim.js";
import { axisSeconds, shorterTurnDegrees, wheelSlots, wheelSteps } from "./axis.js";
import type { ActionTimes, Mount, Observatory, OverheadFactors, Pointing } from "./observatory.js";

/** What of a wish decides its duration. */
export interface TimedWish {
  readonly filter: string;
  readonly exposureSeconds: Seconds;
  readonly frames: number;
}

/** The observatory's timing, prepared once so that each question is cheap. */
export interface Timing {
  /** All parts of one action: `aim` is where the target stands when the telescope begins to move. */
  times(from: Pointing, aim: Aim, wish: TimedWish): ActionTimes;
  /** frames × (exposure + read-out), wherever the telescope stands. */
  exposingMs(wish: TimedWish): Millis;
  /** The machines' state when the exposures are over; `aim` after tracking to that instant. */
  pointingAfter(aim: Aim, filter: string): Pointing;
}

/**
 * Prepares the timing model: ready = max(slew, dome, filter, shutter if shut) + settle, then
 * frames × (exposure + read-out) and the hand-over, all in whole milliseconds. A filter that the wheel
 * no longer holds counts as the longest change, so that an old request cannot stop a forecast.
 */
export function timingOf(observatory: Observatory, overheads: OverheadFactors): Timing {
  const { camera, dome, mount } = observatory;
  const slots = new Map(camera.filters.map((filter) => [filter.name, filter.slot]));
  const wheel = wheelSlots(camera);
  const longestChange = Math.floor(wheel / 2);
  const stepMs = camera.filterStepSeconds * SECOND * overheads.filter;
  const shutterMs = dome === null ? 0 : millis(dome.shutterSeconds, overheads.shutter);
  const settleMs = millis(mount.settleSeconds, overheads.settle);
  const readOutMs = millis(camera.readOutSeconds, overheads.readOut);
  const handOverMs = millis(observatory.handOverSeconds, overheads.handOver);

  const exposingMs = (wish: TimedWish): Millis =>
    wish.frames * (Math.round(wish.exposureSeconds * SECOND) + readOutMs);

  const times = (from: Pointing, aim: Aim, wish: TimedWish): ActionTimes => {
    const slot = slots.get(wish.filter);
    const steps = slot === undefined ? longestChange : wheelSteps(from.filterSlot, slot, wheel);
    const slewMs = millis(slewSeconds(from, aim, mount), overheads.slew);
    const domeMs = dome === null ? 0 : millis(domeSeconds(from, aim, dome.rotation), overheads.dome);
    const filterMs = Math.round(steps * stepMs);
    const openingMs = from.shutterOpen ? 0 : shutterMs;
    const readyMs = Math.max(slewMs, domeMs, filterMs, openingMs) + settleMs;
    const exposing = exposingMs(wish);
    const totalMs = readyMs + exposing + handOverMs;
    return {
      slewMs,
      domeMs,
      filterMs,
      shutterMs: openingMs,
      settleMs,
      readyMs,
      exposingMs: exposing,
      handOverMs,
      totalMs,
    };
  };

  const pointingAfter = (aim: Aim, filter: string): Pointing => ({
    firstAxisDegrees: aim.firstAxisDegrees,
    secondAxisDegrees: aim.secondAxisDegrees,
    flipped: aim.flipped,
    domeAzimuthDegrees: aim.domeAzimuthDegrees,
    filterSlot: slots.get(filter) ?? 0,
    shutterOpen: true,
  });

  return { times, exposingMs, pointingAfter };
}

/** The slower axis decides. Equatorial axes stay within their cables' turn; an azimuth axis goes the shorter way. */
export function slewSeconds(from: Pointing | Aim, to: Aim, mount: Mount): Seconds {
  const first =
    mount.kind === "altazimuth"
      ? shorterTurnDegrees(from.firstAxisDegrees, to.firstAxisDegrees)
      : to.firstAxisDegrees - from.firstAxisDegrees;
  const second = to.secondAxisDegrees - from.secondAxisDegrees;
  return Math.max(axisSeconds(first, mount.firstAxis), axisSeconds(second, mount.secondAxis));
}

/** The dome goes the shorter way. */
export function domeSeconds(from: Pointing | Aim, aim: Aim, rotation: Mount["firstAxis"]): Seconds {
  return axisSeconds(shorterTurnDegrees(from.domeAzimuthDegrees, aim.domeAzimuthDegrees), rotation);
}

function millis(seconds: Seconds, factor: number): Millis {
  return Math.round(seconds * SECOND * factor);
}
