/** How one request stands, in words: waiting, under way, or over and how it ended. */

import { capital, count } from "../../base/english.js";
import { type Phrase, person, say, strong } from "../../base/phrase.js";
import type { UtcMillis } from "../../base/units.js";
import type { FrameRecord } from "../../journal/events.js";
import { memberOf } from "../../journal/membership.js";
import type { State } from "../../journal/state.js";
import { hasUsableFrame } from "../../journal/usable-frames.js";
import { wishWords } from "../../notices/words/amounts.js";
import { reasonLine } from "../../notices/words/requests.js";
import { timeFrom } from "../../notices/words/times.js";
import { verdictWords } from "../../notices/words/verdicts.js";
import type { Request } from "../../queue/request.js";
import { label } from "../read/read-request.js";
import type { Reply, ReplyFrame } from "../reply.js";
import type { Present } from "../services.js";
import { activityPhrase } from "./telescope-words.js";

/** Of one request, in one answer. */
const MOST_FRAMES = 6;

/** The answer about a request that waits no longer. */
export function storyOf(request: Request, present: Present): Reply {
  const { desk, now } = present;
  const lines = request.state === "taken" ? takenLines(request, present) : endLines(request, desk.state, now);
  const frames = shownFrames(request, desk.state, MOST_FRAMES);
  return {
    tone: "answer",
    title: `${label(request)}: ${request.state === "taken" ? "being observed now" : request.state}`,
    lines,
    ...(frames.length === 0 ? {} : { frames }),
  };
}

/** "2 of 3 frames usable; the last is black: cloud, …", or what there is to say of the frames; null for none. */
export function framesWords(frames: readonly FrameRecord[]): string | null {
  const judged = frames.flatMap((each) => each.verdict ?? []);
  if (frames.length === 0) return null;
  if (judged.length === 0) return `${count(frames.length, "frame")} delivered, not judged`;
  const usable = judged.filter((each) => each.is === "usable");
  const spoilt = judged.findLast((each) => each.is !== "usable");
  if (!spoilt && frames.length === 1) return verdictWords(judged[0]!);
  if (!spoilt) return `${frames.length === 2 ? "both" : `all ${frames.length}`} frames usable`;
  if (frames.length === 1) return verdictWords(spoilt);
  return `${usable.length} of ${count(frames.length, "frame")} usable; ${verdictWords(spoilt)}`;
}

/** The frames to show with an answer: those that were delivered as a file, the newest first. */
export function shownFrames(request: Request, { frames }: Pick<State, "frames">, most: number): ReplyFrame[] {
  return (frames.get(request.number) ?? [])
    .filter((each) => each.previewFile !== null || each.imageFile !== null)
    .slice(-most)
    .reverse()
    .map((frame) => ({ request, frame }));
}

function takenLines(request: Request, { desk, telescope, now }: Present): Phrase[] {
  const status = telescope();
  const { taken } = desk.state;
  const end =
    taken && taken.freeUnixMs > now
      ? say` The telescope is free again about ${timeFrom(taken.freeUnixMs, now)}.`
      : [];
  const doing =
    status.requestNumber === request.number ? activityPhrase(status, now) : say`The telescope is on it.`;
  const done =
    request.framesDone > 0 ? say`${request.framesDone} of ${count(request.frames, "frame")} done.` : null;
  return [say`${doing}${end}`, ...(done ? [done] : []), [`${capital(wishWords(request))}.`]];
}

function endLines(request: Request, state: State, now: UtcMillis): Phrase[] {
  const ended = request.endedUnixMs === null ? [] : say` ${timeFrom(request.endedUnixMs, now)}`;
  switch (request.state) {
    case "completed":
      return completedLines(request, state.frames.get(request.number) ?? [], ended);
    case "cancelled":
      return [
        say`${strong("Cancelled")}${ended} by ${canceller(request, state)}.`,
        reasonLine(request.reason ?? ""),
      ];
    case "withdrawn":
      return [say`${strong("Withdrawn")}${ended} by its owner. Ask again with /request when you like.`];
    default:
      return [say`${strong("Failed")}${ended}. ${reasonLine(request.reason ?? "")}`, putBackLine(request)];
  }
}

function putBackLine({ number }: Request): Phrase {
  return say`An instructor can put it back with /return ${number}; or ask again.`;
}

function completedLines(request: Request, frames: readonly FrameRecord[], ended: Phrase): Phrase[] {
  const verdict = framesWords(frames);
  const simulated = frames.some((each) => each.simulated) ? " SIMULATED by the practice telescope." : "";
  return [
    say`${strong("Completed")}${ended}: ${verdict ?? "no frames were handed over with it"}.${simulated}`,
    ...(hasUsableFrame(frames) ? [] : [putBackLine(request)]),
  ];
}

/** The instructor while it can be undone, else staff: the state keeps who cancelled for an hour only. */
function canceller(request: Request, state: State): Phrase {
  const cancel = [...state.cancels.values()].find((each) => each.numbers.includes(request.number));
  const record = cancel ? memberOf(state, cancel.by, request.classId) : null;
  if (!cancel || !record) return ["staff"];
  return say`${person(cancel.by)}, ${record.role}`;
}
