/** How one request stands, in words: waiting, under way, or over and how it ended. */
import { type Phrase, person, say, strong } from "../base/phrase.js";
import type { UtcMillis } from "../base/units.js";
import type { FrameRecord } from "../journal/events.js";
import { memberOf } from "../journal/membership.js";
import type { State } from "../journal/state.js";
import { count, wishWords } from "../notices/words/amounts.js";
import { reasonLine } from "../notices/words/requests.js";
import { timeFrom } from "../notices/words/times.js";
import { verdictWords } from "../notices/words/verdicts.js";
import type { Request } from "../queue/request.js";
import { label } from "./read-request.js";
import type { Reply } from "./reply.js";
import type { Services } from "./services.js";
import { activityPhrase } from "./telescope-words.js";
import { capital } from "./words.js";

/** The answer about a request that waits no longer. */
export function storyOf(request: Request, services: Services, now: UtcMillis): Reply {
  const { state } = request;
  const lines =
    state === "taken" ? takenLines(request, services, now) : endLines(request, services.desk.state, now);
  return { tone: "answer", title: `${label(request)}: ${headWords(request)}`, lines };
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

/** File names of the last frame, inside the data folder; null where the link delivers none. */
export function framePlace(frames: readonly FrameRecord[]): string | null {
  const last = frames.findLast((each) => each.previewFile !== null || each.imageFile !== null);
  if (!last) return null;
  const preview = last.previewFile === null ? "" : `preview ${last.previewFile}`;
  const image = last.imageFile === null ? "" : `full frame ${last.imageFile}`;
  return [preview, image].filter(Boolean).join(", ");
}

function headWords({ state }: Request): string {
  return state === "taken" ? "being observed now" : state;
}

function takenLines(request: Request, services: Services, now: UtcMillis): Phrase[] {
  const status = services.telescope();
  const { taken } = services.desk.state;
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
      return completedLines(state.frames.get(request.number) ?? [], ended);
    case "cancelled":
      return [
        say`${strong("Cancelled")}${ended} by ${canceller(request, state)}.`,
        reasonLine(request.reason ?? ""),
      ];
    case "withdrawn":
      return [say`${strong("Withdrawn")}${ended} by its owner. Ask again with /request when you like.`];
    default:
      return [
        say`${strong("Failed")}${ended}. ${reasonLine(request.reason ?? "")}`,
        say`An instructor can put it back with /return ${request.number}; or ask again.`,
      ];
  }
}

function completedLines(frames: readonly FrameRecord[], ended: Phrase): Phrase[] {
  const verdict = framesWords(frames);
  const place = framePlace(frames);
  const simulated = frames.some((each) => each.simulated) ? " SIMULATED by the practice telescope." : "";
  return [
    say`${strong("Completed")}${ended}: ${verdict ?? "no frames were handed over with it"}.${simulated}`,
    ...(place === null ? [] : [say`You find it in the data folder: ${place}.`]),
  ];
}

/** The instructor while it can be undone, else staff: the state keeps who cancelled for an hour only. */
function canceller(request: Request, state: State): Phrase {
  const cancel = [...state.cancels.values()].find((each) => each.numbers.includes(request.number));
  const record = cancel ? memberOf(state, cancel.by, request.classId) : null;
  if (!cancel || !record) return ["staff"];
  return say`${person(cancel.by)}, ${record.role}`;
}
