/** A completed request: what happened, why, what to do next. */
import type { Button } from "../../base/button.js";
import { count } from "../../base/english.js";
import { clockTime, type Phrase, say, strong } from "../../base/phrase.js";
import { SECOND, type UtcMillis } from "../../base/units.js";
import type { FrameRecord, Verdict } from "../../journal/events.js";
import type { Attachment } from "../../journal/notice.js";
import { hasUsableFrame } from "../../journal/usable-frames.js";
import type { PersonId, Request } from "../../queue/request.js";
import type { Telling } from "../telling.js";
import { requestName, seconds } from "./amounts.js";
import { adviceFor, verdictWords } from "./verdicts.js";

type Spoilt = Exclude<Verdict, { is: "usable" }>;

/** Frames of one request with one verdict and cause, and the last of them. */
interface Lot {
  readonly verdict: Verdict;
  readonly frames: number;
}

/**
 * @param frames as delivered, in order; perhaps none
 * @param darkAgain when the Sun is next low enough, after an instant
 * @param onlyFor who may ask again with one press; null for anyone
 */
export function completedTelling(
  request: Request,
  frames: readonly FrameRecord[],
  darkAgain: (afterUnixMs: UtcMillis) => UtcMillis | null,
  onlyFor: PersonId | null,
): Telling {
  const lots = lotsOf(frames);
  const spoilt = lots.map((lot) => lot.verdict).find((verdict): verdict is Spoilt => verdict.is !== "usable");
  const last = frames.at(-1);
  const lines: Phrase[] = [takenLine(request, frames), ...lots.map((lot) => lotLine(lot, frames.length))];
  if (frames.some((frame) => frame.simulated)) lines.push(say`SIMULATED: made by the practice telescope.`);
  if (!hasUsableFrame(frames)) {
    lines.push(say`An instructor can put it back with /return ${request.number}, its place kept.`);
  }
  lines.push(spoilt && last ? adviceFor(spoilt, darkAgain(endOf(last))) : say`/mine shows it again.`);
  return {
    kind: "completed",
    title: `${requestName(request)}: ${outcome(frames, lots)}`,
    lines,
    attachment: attachmentFor(request, frames),
    actions: spoilt ? [askAgain(longEnough(request, spoilt), onlyFor)] : [],
  };
}

/** How it ended in a few words: "3 usable frames", "2 of 3 frames usable", "the frame is black". */
export function outcome(frames: readonly FrameRecord[], lots: readonly Lot[] = lotsOf(frames)): string {
  const total = frames.length;
  const usable = lots.find((lot) => lot.verdict.is === "usable")?.frames ?? 0;
  const kinds = new Set(lots.map((lot) => lot.verdict.is));
  const judged = lots.reduce((sum, lot) => sum + lot.frames, 0);
  if (total === 0 || judged === 0) return total === 0 ? "done" : `done, ${count(total, "frame")}`;
  if (usable === total) return `done, ${count(total, "usable frame")}`;
  if (usable > 0 || kinds.size > 1 || judged < total) return `done, ${usable} of ${total} frames usable`;
  const word = lots[0]?.verdict.is as string;
  if (total === 1) return `done, but the frame is ${word}`;
  return `done, but ${total === 2 ? "both" : `all ${total}`} frames are ${word}`;
}

/** Runs the same wish once more. */
export function askAgain(request: Request, onlyFor: PersonId | null): Button {
  const { target, filter, exposureSeconds, frames } = request;
  return {
    command: "request",
    options: { target: target.id, filter, exposure: exposureSeconds, frames },
    label: "Ask again",
    onlyFor,
    about: request.number,
  };
}

/** The same wish, with the length that the verdict proposes. */
function longEnough(request: Request, { enoughSeconds }: Spoilt): Request {
  return enoughSeconds === undefined ? request : { ...request, exposureSeconds: enoughSeconds };
}

function takenLine(request: Request, frames: readonly FrameRecord[]): Phrase {
  const last = frames.at(-1);
  if (!last)
    return say`${strong("Completed.")} No frames were handed over with it: ask the operator for them.`;
  const lengths = new Set(frames.map((frame) => frame.exposureSeconds));
  const length = lengths.size === 1 ? ` of ${seconds(last.exposureSeconds)}` : "";
  const when = frames.length === 1 ? "ended" : "the last ended";
  const missing = frames.length < request.frames ? ` (${request.frames} were asked for)` : "";
  return say`${strong(count(frames.length, "frame"))}${length} through filter ${last.filter}, ${when} at ${clockTime(endOf(last))}${missing}.`;
}

/** All frames alike: "Usable: 143 stars seen."; else "2 frames black: cloud, 1 of 40 expected stars seen." */
function lotLine(lot: Lot, total: number): Phrase {
  const words = verdictWords(lot.verdict);
  if (lot.frames === total) return say`${strong(words.charAt(0).toUpperCase() + words.slice(1))}.`;
  return say`${count(lot.frames, "frame")} ${words}.`;
}

function lotsOf(frames: readonly FrameRecord[]): Lot[] {
  const lots = new Map<string, Lot>();
  for (const { verdict } of frames) {
    if (!verdict) continue;
    const name = verdict.is === "usable" ? "usable" : `${verdict.is} ${verdict.because}`;
    lots.set(name, { verdict, frames: (lots.get(name)?.frames ?? 0) + 1 });
  }
  return [...lots.values()];
}

/** The last usable preview, else the last there is. */
function attachmentFor(request: Request, frames: readonly FrameRecord[]): Attachment | null {
  const shown = frames.filter((frame) => frame.previewFile !== null);
  const best = shown.findLast((frame) => frame.verdict?.is === "usable") ?? shown.at(-1);
  if (!best?.previewFile) return null;
  return { file: best.previewFile, altText: frameAltText(request, best) };
}

/** What the picture of a frame shows, for someone who cannot see it. */
export function frameAltText(request: Request, frame: FrameRecord): string {
  const kind = frame.simulated ? "Simulated frame" : "Frame";
  const what = `${kind} ${frame.index} of ${request.frames}: ${request.target.name}, ${seconds(frame.exposureSeconds)} through filter ${frame.filter}`;
  const verdict = frame.verdict ? `; ${verdictWords(frame.verdict)}` : "";
  return `${what}${verdict}.`;
}

function endOf(frame: FrameRecord): UtcMillis {
  return frame.startUnixMs + frame.exposureSeconds * SECOND;
}
