/** What a telescope is doing at an instant, worked out from its action's times and what its link has told. */
import { type Millis, SECOND, type UtcMillis } from "../base/units.js";
import { heldBy } from "../journal/held-by.js";
import type { State } from "../journal/state.js";
import type { Stance, TelescopeStatus } from "../journal/telescope-status.js";
import type { ActionTimes, Observatory } from "../observatory/observatory.js";
import { looksAt, parkedPointing } from "../observatory/pointing.js";
import { nightOf } from "../sky/night.js";
import { horizontalOf, trackOf } from "../sky/track.js";
import type { ActionUnderWay } from "./action-under-way.js";
import { type Action, NO_STANCE, type TelescopeLink } from "./link.js";

type WaitingFor = NonNullable<TelescopeStatus["waitingFor"]>;

/** What of a link says how its telescope stands. */
type Speaks = Pick<TelescopeLink, "traits" | "stance">;

/** Nothing under way: idle, holding, being stopped, or at fault. */
export function idleStatus(
  state: State,
  nowUnixMs: UtcMillis,
  observatory: Observatory,
  link: Speaks,
): TelescopeStatus {
  const { stopping } = state;
  const { traits } = link;
  return {
    activity: restOf(state),
    requestNumber: stopping?.number ?? null,
    sinceUnixMs: stopping?.sinceUnixMs ?? state.hold?.sinceUnixMs ?? nowUnixMs,
    untilUnixMs: state.hold?.untilUnixMs ?? null,
    ...(traits.simulated ? leftAt(state, observatory) : (link.stance?.() ?? NO_STANCE)),
    waitingFor: null,
    domeDegreesLeft: null,
    frame: null,
    frames: null,
    exposureSeconds: null,
    equipment: state.equipment,
    traits,
  };
}

/** Simulated machines stand as the last action left them. */
function leftAt({ pointing }: State, observatory: Observatory): Stance {
  const left = pointing ?? parkedPointing(observatory);
  const domeAzimuthDegrees = observatory.dome ? left.domeAzimuthDegrees : null;
  return { ...looksAt(left, observatory), domeAzimuthDegrees };
}

function restOf(state: State): TelescopeStatus["activity"] {
  const { stopping, equipment, hold } = state;
  if (equipment.telescope === "fault") return "fault";
  if (stopping) return "stopping";
  return hold || heldBy(state) ? "holding" : "idle";
}

/** Under way: what its link has told last, and what follows from that by the clock. */
type Told = Pick<ActionUnderWay, "action" | "exposed">;

/** The phase of an action at an instant. */
export function statusOf(
  { action, exposed }: Told,
  state: State,
  nowUnixMs: UtcMillis,
  observatory: Observatory,
  link: Speaks,
): TelescopeStatus {
  const { traits } = link;
  if (exposed === null && traits.takenBy === "operator")
    return observing(action, state, nowUnixMs, observatory, link);
  const { request, takenUnixMs } = action;
  const { site } = observatory;
  const track = trackOf(request.target, nightOf(takenUnixMs, site.timeZone), site);
  const moving = exposed === null;
  const place = horizontalOf(track, moving ? Math.max(nowUnixMs, action.exposingUnixMs) : nowUnixMs, site);
  // Only simulated machines move as their times say.
  const { simulated } = traits;
  const dome = observatory.dome && simulated ? domeAt(action, nowUnixMs, observatory) : null;
  return {
    ...phaseOf({ action, exposed }, state, nowUnixMs, observatory),
    requestNumber: request.number,
    altitudeDegrees: place.altitudeDegrees,
    azimuthDegrees: place.azimuthDegrees,
    domeAzimuthDegrees: dome?.azimuthDegrees ?? null,
    ...link.stance?.(),
    waitingFor: moving && simulated ? slowestPart(action.times, nowUnixMs - takenUnixMs) : null,
    domeDegreesLeft: moving ? (dome?.degreesLeft ?? null) : null,
    frames: request.frames,
    exposureSeconds: request.exposureSeconds,
    equipment: state.equipment,
    traits,
  };
}

/** Nobody says where the machines stand: the target is where it is, and the rest is not known. */
function observing(
  { request, takenUnixMs, freeUnixMs }: Action,
  state: State,
  nowUnixMs: UtcMillis,
  observatory: Observatory,
  link: Speaks,
): TelescopeStatus {
  const { site } = observatory;
  const track = trackOf(request.target, nightOf(takenUnixMs, site.timeZone), site);
  return {
    ...idleStatus(state, nowUnixMs, observatory, link),
    activity: "observing",
    requestNumber: request.number,
    sinceUnixMs: takenUnixMs,
    untilUnixMs: state.taken?.freeUnixMs ?? freeUnixMs,
    ...horizontalOf(track, nowUnixMs, site),
    domeAzimuthDegrees: null,
    frames: request.frames,
    exposureSeconds: request.exposureSeconds,
  };
}

type Phase = Pick<TelescopeStatus, "activity" | "sinceUnixMs" | "untilUnixMs" | "frame">;

function phaseOf(
  { action, exposed }: Told,
  state: State,
  nowUnixMs: UtcMillis,
  { camera }: Observatory,
): Phase {
  const { request, takenUnixMs, exposingUnixMs, freeUnixMs } = action;
  if (exposed === null) {
    return { activity: "moving", sinceUnixMs: takenUnixMs, untilUnixMs: exposingUnixMs, frame: null };
  }
  const { frame, startUnixMs } = exposed;
  const shutUnixMs = startUnixMs + request.exposureSeconds * SECOND;
  if (nowUnixMs < shutUnixMs)
    return { activity: "exposing", sinceUnixMs: startUnixMs, untilUnixMs: shutUnixMs, frame };
  const readUnixMs = shutUnixMs + camera.readOutSeconds * SECOND;
  if (nowUnixMs < readUnixMs || frame < request.frames)
    return { activity: "reading-out", sinceUnixMs: shutUnixMs, untilUnixMs: readUnixMs, frame };
  const untilUnixMs = state.taken?.freeUnixMs ?? freeUnixMs;
  return { activity: "handing-over", sinceUnixMs: readUnixMs, untilUnixMs, frame };
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
