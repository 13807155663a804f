/** What each event about requests does to the state. */
import { DAY, type UtcMillis } from "../base/units.js";
import { observe } from "../forecast/learn/calibration.js";
import { withAttempt, withFailure } from "../forecast/learn/experience.js";
import { type Request, waitingRequest } from "../queue/request.js";
import type { Target } from "../sky/target.js";
import type { Draft, Folds } from "./draft.js";

/** A cancellation is remembered for as long as it may be undone, at whatever pace the clock runs. */
const LONGEST_UNDO = DAY;
/** Enough to learn from; the newest count. */
const OVERHEAD_SAMPLES_KEPT = 200;

export const requestFolds = {
  "request.made": (draft, { number, wish, owner, classId, group, tier, via }, atUnixMs) => {
    if (draft.lastActive.has(owner)) draft.lastActive.set(owner, atUnixMs);
    const target = sharedTarget(draft, wish.target);
    const asked = waitingRequest({ ...wish, target, number, owner, tier, askedUnixMs: atUnixMs });
    const best = wish.best ? { best: wish.best } : {};
    draft.requests.set(number, { ...asked, ...best, note: wish.note, classId, group, via });
    draft.waiting.add(number);
    draft.nextNumber = number + 1;
  },
  "request.earliest": (draft, { number, notBeforeUnixMs, best, startUnixMs }) => {
    change(draft, number, { notBeforeUnixMs, best });
    draft.earliestChanged++;
    if (startUnixMs !== undefined && draft.waiting.has(number)) draft.told.set(number, startUnixMs);
  },
  "request.joined": (draft, { number, personId }) => {
    const { sharers } = requestOf(draft, number);
    change(draft, number, { sharers: [...sharers, personId] });
  },
  "request.left": (draft, { number, personId }) => {
    const { owner, sharers } = requestOf(draft, number);
    const [heir, ...others] = sharers;
    if (personId !== owner) change(draft, number, { sharers: sharers.filter((each) => each !== personId) });
    else if (heir) change(draft, number, { owner: heir, sharers: others, note: null });
  },
  "request.withdrawn": (draft, { number }, atUnixMs) => {
    stop(draft, number, atUnixMs, null);
    end(draft, number, "withdrawn", atUnixMs, null);
  },
  "requests.cancelled": (draft, { cancelId, numbers, reason, by }, atUnixMs) => {
    for (const number of numbers) {
      stop(draft, number, atUnixMs, reason);
      end(draft, number, "cancelled", atUnixMs, reason);
    }
    draft.cancels.set(cancelId, { cancelId, numbers, by, atUnixMs });
  },
  "cancel.undone": (draft, { cancelId, numbers }) => {
    for (const number of numbers) waitAgain(draft, number, null);
    draft.cancels.delete(cancelId);
  },
  "request.taken": (draft, { number, freeUnixMs, pointingAfter }, atUnixMs) => {
    const { owner } = requestOf(draft, number);
    leaveWaiting(draft, number);
    for (const each of draft.toldNext) {
      draft.toldNext.delete(each);
      draft.overtaken.set(each, number);
    }
    change(draft, number, { state: "taken", takenUnixMs: atUnixMs, framesDone: 0, reason: null });
    draft.taken = {
      ...{ number, takenUnixMs: atUnixMs, freeUnixMs, promisedUnixMs: freeUnixMs, reminded: false },
    };
    draft.stopping = null;
    draft.tally = withAttempt(draft.tally, atUnixMs);
    draft.pointing = pointingAfter ?? draft.pointing;
    draft.takenTonight.set(owner, (draft.takenTonight.get(owner) ?? 0) + 1);
  },
  "action.revised": (draft, { number, freeUnixMs }) => {
    if (draft.taken?.number === number) draft.taken = { ...draft.taken, freeUnixMs };
  },
  "action.overdue": (draft, { number }) => {
    if (draft.taken?.number === number) draft.taken = { ...draft.taken, reminded: true };
  },
  "frame.done": (draft, { number, frame }) => {
    const { framesDone } = requestOf(draft, number);
    const others = (draft.frames.get(number) ?? []).filter((each) => each.index !== frame.index);
    draft.frames.set(number, [...others, frame]);
    change(draft, number, { framesDone: Math.max(framesDone, frame.index) });
  },
  "request.completed": (draft, { number }, atUnixMs) => end(draft, number, "completed", atUnixMs, null),
  "request.failed": (draft, { number, reason, stopping }, atUnixMs) => {
    draft.tally = withFailure(draft.tally);
    if (stopping) stop(draft, number, atUnixMs, reason);
    end(draft, number, "failed", atUnixMs, reason);
  },
  "telescope.stopped": (draft, { number }) => {
    if (draft.stopping?.number === number) draft.stopping = null;
  },
  "request.returned": (draft, { number, reason }, atUnixMs) => {
    const { owner, state } = requestOf(draft, number);
    // Broken off, it was no turn; one that failed, or brought nothing, has had its turn.
    if (state === "taken") {
      stop(draft, number, atUnixMs, reason);
      countWork(draft, number, atUnixMs);
      draft.takenTonight.set(owner, Math.max(0, (draft.takenTonight.get(owner) ?? 0) - 1));
      draft.tally = withFailure(draft.tally);
    }
    waitAgain(draft, number, reason);
  },
  "overheads.measured": (draft, { samples }) => {
    draft.overheadSamples = [...draft.overheadSamples, ...samples].slice(-OVERHEAD_SAMPLES_KEPT);
  },
  "forecast.scored": (draft, { outcomes, chances = [], night = draft.night ?? "" }) => {
    draft.calibration = observe(draft.calibration, night, outcomes, chances);
  },
} satisfies Partial<Folds>;

/** Lets go of cancellations that can no longer be undone. */
export function forgetOldCancels(draft: Draft, nowUnixMs: UtcMillis): void {
  for (const [cancelId, { atUnixMs }] of draft.cancels) {
    if (atUnixMs < nowUnixMs - LONGEST_UNDO) draft.cancels.delete(cancelId);
  }
}

function requestOf(draft: Draft, number: number): Request {
  return draft.requests.get(number) as Request;
}

function change(draft: Draft, number: number, changes: Partial<Request>): void {
  draft.requests.set(number, { ...requestOf(draft, number), ...changes });
}

/** What is ended while it is under way leaves a telescope to be stopped. */
function stop(draft: Draft, number: number, sinceUnixMs: UtcMillis, reason: string | null): void {
  if (draft.taken?.number === number) draft.stopping = { number, reason, sinceUnixMs };
}

function end(
  draft: Draft,
  number: number,
  state: "withdrawn" | "cancelled" | "completed" | "failed",
  atUnixMs: UtcMillis,
  reason: string | null,
): void {
  countWork(draft, number, atUnixMs);
  leaveWaiting(draft, number);
  leaveTelescope(draft, number);
  change(draft, number, { state, endedUnixMs: atUnixMs, reason });
}

function countWork(draft: Draft, number: number, atUnixMs: UtcMillis): void {
  const { taken, tally } = draft;
  if (taken?.number !== number) return;
  draft.tally = {
    ...tally,
    workedMs: tally.workedMs + Math.max(0, atUnixMs - taken.takenUnixMs),
    lastEndedUnixMs: atUnixMs,
  };
}

function waitAgain(draft: Draft, number: number, reason: string | null): void {
  leaveTelescope(draft, number);
  change(draft, number, { state: "waiting", takenUnixMs: null, endedUnixMs: null, reason });
  // Numbers are in order of asking, so those after it are let go and taken up again behind it.
  const later = [...draft.waiting].filter((each) => each > number);
  for (const each of later) draft.waiting.delete(each);
  draft.waiting.add(number);
  for (const each of later) draft.waiting.add(each);
}

function leaveWaiting(draft: Draft, number: number): void {
  draft.waiting.delete(number);
  draft.told.delete(number);
  draft.toldNext.delete(number);
  draft.overtaken.delete(number);
}

function leaveTelescope(draft: Draft, number: number): void {
  if (draft.taken?.number === number) draft.taken = null;
}

/** An equal target met before, so that ten thousand requests do not hold ten thousand copies. */
export function sharedTarget(draft: Draft, target: Target): Target {
  const known = draft.targets.get(target.id);
  if (known && JSON.stringify(known) === JSON.stringify(target)) return known;
  draft.targets.set(target.id, target);
  return target;
}
