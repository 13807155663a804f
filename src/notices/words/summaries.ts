/** The dusk note and the morning summary, in words. */

import { count, listed } from "../../base/english.js";
import { clockTime, type Phrase, person, say, strong } from "../../base/phrase.js";
import type { UtcMillis } from "../../base/units.js";
import type { Equipment, FrameRecord, Hold } from "../../journal/events.js";
import type { PersonId, Request } from "../../queue/request.js";
import type { Interval } from "../../sky/interval.js";
import type { Telling } from "../telling.js";
import { numberList, requestName } from "./amounts.js";
import { outcome } from "./completed.js";
import { noCamera } from "./equipment.js";
import { timeFrom } from "./times.js";

/** What a class is told at dusk. */
export interface DuskFacts {
  readonly dark: Interval;
  readonly waiting: number;
  /** The class's earliest request with a time tonight. */
  readonly first: { readonly request: Request; readonly startUnixMs: UtcMillis } | null;
  readonly hold: Hold | null;
  readonly equipment: Equipment;
  /** The telescope is the practice one. */
  readonly simulated: boolean;
}

/** Dark enough for faint targets: how long, and what is waiting. */
export function duskTelling({ dark, waiting, first, hold, equipment, simulated }: DuskFacts): Telling {
  const night = say`It is dark from ${clockTime(dark.openUnixMs)} to ${clockTime(dark.closeUnixMs)}.`;
  const queue = say`${count(waiting, "request")} of the class ${waiting === 1 ? "is" : "are"} waiting`;
  const lines: Phrase[] = [
    night,
    first
      ? say`${queue}; the first, ${requestName(first.request)}, starts about ${clockTime(first.startUnixMs)}.`
      : say`${queue}.`,
  ];
  if (hold) lines.push(say`On hold: nothing is taken until staff resume.`);
  if (equipment.camera !== "fitted")
    lines.push(
      equipment.camera === "away"
        ? [noCamera(simulated)]
        : say`The camera has a fault: nothing is taken until it is mended.`,
    );
  return { kind: "dusk", title: "Dark enough to observe", lines };
}

/** A request that ended while its people slept. */
export interface NightResult {
  readonly request: Request;
  readonly frames: readonly FrameRecord[];
  /** Those among the readers whom it concerns. */
  readonly people: readonly PersonId[];
}

/** More lines than these are not read on a phone. */
const LONGEST = 20;

/** A request that has not run yet. */
export interface StillWaiting {
  readonly number: number;
  /** When it is expected to; null where that is not known. */
  readonly startUnixMs: UtcMillis | null;
}

/** What certain readers are told in the morning. */
export interface MorningFacts {
  /** "Last night", or since when. */
  readonly when: string;
  readonly results: readonly NightResult[];
  readonly waiting: readonly StillWaiting[];
  /** Whether each result says whose it is. */
  readonly named: boolean;
}

/** Waiting requests beyond these are told without their times. */
const MOST_TIMES = 6;

/** What the night brought to certain readers, and when those of their requests that wait on are expected to run. */
export function morningTelling(
  { when, results, waiting, named }: MorningFacts,
  atUnixMs: UtcMillis,
): Telling {
  const completed = results.filter(({ request }) => request.state === "completed").length;
  const failed = results.length - completed;
  const sums = [`${count(completed, "request")} completed`, ...(failed > 0 ? [`${failed} failed`] : [])];
  const lines = results.slice(0, LONGEST).map((result) => resultLine(result, named, atUnixMs));
  const left = results.length - LONGEST;
  if (left > 0) lines.push(say`And ${left} more: type /mine for yours.`);
  if (waiting.length > 0) lines.push(waitingLine(waiting, atUnixMs));
  return { kind: "morning", title: `${when}: ${listed(sums)}`, lines };
}

/** "Still waiting: #4, about 18:32; #5." */
function waitingLine(waiting: readonly StillWaiting[], atUnixMs: UtcMillis): Phrase {
  if (waiting.length > MOST_TIMES) {
    return say`Still waiting: ${numberList(waiting.map(({ number }) => number))}. Type /when for their times.`;
  }
  const each = waiting.flatMap(({ number, startUnixMs }, index): Phrase => {
    const time = startUnixMs === null ? [] : say`, about ${timeFrom(startUnixMs, atUnixMs)}`;
    return [`${index === 0 ? "" : "; "}#${number}`, ...time];
  });
  return say`Still waiting: ${each}.`;
}

function resultLine({ request, frames, people }: NightResult, named: boolean, atUnixMs: UtcMillis): Phrase {
  const whose = named ? people.flatMap((id, index) => [index === 0 ? ", " : " and ", person(id)]) : [];
  const how =
    request.state === "completed" ? outcome(frames) : `failed (${request.reason ?? "no reason given"})`;
  const when = request.endedUnixMs === null ? [] : say`, ${timeFrom(request.endedUnixMs, atUnixMs)}`;
  return say`${strong(requestName(request))}${whose}: ${how}${when}.`;
}
