/** What the practice telescope is doing at an instant, worked out from the action's times. */
import type { Millis, UtcMillis } from "../../base/units.js";
import type { State } from "../../journal/state.js";
import type { TelescopeStatus } from "../../journal/telescope-status.js";
import { looksAt } from "../../observatory/looks-at.js";
import type { ActionTimes, Observatory, Pointing } from "../../observatory/observatory.js";
import { parkedPointing } from "../../observatory/pointing.js";
import type { Request } from "../../queue/request.js";
import { nightOf } from "../../sky/night.js";
import { horizontalOf, trackOf } from "../../sky/track.js";

/** A request being worked on, with the times it really takes. */
export interface Action {
  readonly request: Request;
  readonly takenUnixMs: UtcMillis;
  readonly exposingUnixMs: UtcMillis;
  readonly freeUnixMs: UtcMillis;
  readonly times: ActionTimes;
  readonly pointingBefore: Pointing | null;
  readonly pointingAfter: Pointing | null;
}

type WaitingFor = NonNullable<TelescopeStatus["waitingFor"]>;

/** Nothing under way: idle, holding, or at fault. */
export function idleStatus(state: State, nowUnixMs: UtcMillis, observatory: Observatory): TelescopeStatus {
  const activity = state.equipment.telescope === "fault" ? "fault" : state.hold ? "holding" : "idle";
  const pointing = state.pointing ?? parkedPointing(observatory);
  return {
    activity,
    requestNumber: null,
    sinceUnixMs: state.hold?.sinceUnixMs ?? nowUnixMs,
    untilUnixMs: state.hold?.untilUnixMs ?? null,
    ...looksAt(pointing, observatory),
    domeAzimuthDegrees: observatory.dome ? pointing.domeAzimuthDegrees : null,
    waitingFor: null,
    domeDegreesLeft: null,
    frame: null,
    frames: null,
    exposureSeconds: null,
    equipment: state.equipment,
    simulated: true,
  };
}

/** The phase of an action at an instant. */
export function statusOf(
  action: Action,
  state: State,
  nowUnixMs: UtcMillis,
  observatory: Observatory,
): TelescopeStatus {
  const { request, takenUnixMs, exposingUnixMs } = action;
  const { site } = observatory;
  const track = trackOf(request.target, nightOf(takenUnixMs, site.timeZone), site);
  const moving = nowUnixMs < exposingUnixMs;
  const place = horizontalOf(track, Math.max(nowUnixMs, exposingUnixMs), site);
  const dome = observatory.dome ? domeAt(action, nowUnixMs, observatory) : null;
  return {
    ...phaseOf(action, nowUnixMs, observatory),
    requestNumber: request.number,
    altitudeDegrees: place.altitudeDegrees,
    azimuthDegrees: place.azimuthDegrees,
    domeAzimuthDegrees: dome?.azimuthDegrees ?? null,
    waitingFor: moving ? slowestPart(action.times, nowUnixMs - takenUnixMs) : null,
    domeDegreesLeft: moving ? (dome?.degreesLeft ?? null) : null,
    frames: request.frames,
    exposureSeconds: request.exposureSeconds,
    equipment: state.equipment,
    simulated: true,
  };
}

type Phase = Pick<TelescopeStatus, "activity" | "sinceUnixMs" | "untilUnixMs" | "frame">;

function phaseOf(action: Action, nowUnixMs: UtcMillis, observatory: Observatory): Phase {
  const { request, takenUnixMs, exposingUnixMs, freeUnixMs, times } = action;
  if (nowUnixMs < exposingUnixMs) {
    return { activity: "moving", sinceUnixMs: takenUnixMs, untilUnixMs: exposingUnixMs, frame: null };
  }
  const exposedUnixMs = exposingUnixMs + times.exposingMs;
  if (nowUnixMs >= exposedUnixMs) {
    return {
      activity: "handing-over",
      sinceUnixMs: exposedUnixMs,
      untilUnixMs: freeUnixMs,
      frame: request.frames,
    };
  }
  const frameMs = times.exposingMs / request.frames;
  const done = Math.floor((nowUnixMs - exposingUnixMs) / frameMs);
  const startUnixMs = exposingUnixMs + done * frameMs;
  const readUnixMs = startUnixMs + frameMs - observatory.camera.readOutSeconds * 1000;
  return nowUnixMs < readUnixMs
    ? { activity: "exposing", sinceUnixMs: startUnixMs, untilUnixMs: readUnixMs, frame: done + 1 }
    : {
        activity: "reading-out",
        sinceUnixMs: readUnixMs,
        untilUnixMs: startUnixMs + frameMs,
        frame: done + 1,
      };
}

/** What the telescope still waits for, `elapsedMs` into the move. */
function slowestPart(times: ActionTimes, elapsedMs: Millis): WaitingFor {
  const parts: [WaitingFor, Millis][] = [
    ["mount", times.slewMs],
    ["dome", times.domeMs],
    ["filter", times.filterMs],
    ["shutter", times.shutterMs],
  ];
  const left = parts.filter(([, ms]) => ms > elapsedMs).sort((a, b) => b[1] - a[1])[0];
  return left?.[0] ?? "settle";
}

/** Dome azimuth on the way, taken as even motion the shorter way round. */
function domeAt(action: Action, nowUnixMs: UtcMillis, observatory: Observatory) {
  const from = (action.pointingBefore ?? parkedPointing(observatory)).domeAzimuthDegrees;
  const to = action.pointingAfter?.domeAzimuthDegrees ?? from;
  const turn = ((to - from + 540) % 360) - 180;
  const share = Math.min(1, (nowUnixMs - action.takenUnixMs) / Math.max(1, action.times.domeMs));
  return { azimuthDegrees: (from + turn * share + 360) % 360, degreesLeft: Math.abs(turn) * (1 - share) };
}
