/** The morning summary: what the night brought to those who slept. */
import { DateTime } from "luxon";
import { DAY, type UtcMillis } from "../base/units.js";
import type { Happened } from "../journal/events.js";
import type { Notice } from "../journal/notice.js";
import type { PersonId, Request } from "../queue/request.js";
import { nightOf } from "../sky/night.js";
import { type Concerned, choiceOf, concernedInEachClass, peopleOf, sleeps, toPeople } from "./audience.js";
import { framesOf, type Occasion, type Telling } from "./telling.js";
import { morningTelling, type NightResult, type StillWaiting } from "./words/summaries.js";

/** Name of the scheduled job, whose due times mark off one summary from the next. */
export const MORNING_JOB = "morning-summary";

type Summed = Happened<"morning.summed">;

/** For those who wait for it, and for those whose requests ended in their quiet hours; nobody else. */
export function onMorning(occasion: Occasion, { estimates = [] }: Summed): Notice[] {
  const starts = new Map(estimates.map(({ number, startUnixMs }) => [number, startUnixMs]));
  return concernedInEachClass(resultsOf(occasion)).flatMap((all) => {
    const missed = whatTheyMissed(occasion, all);
    const words = (readers: readonly PersonId[], classId: string): Telling => {
      const results = merged(occasion, readers, missed);
      const waiting = waitingNumbers(occasion, readers, classId).map(
        (number): StillWaiting => ({ number, startUnixMs: starts.get(number) ?? null }),
      );
      const when = whenWords(occasion, results[0]?.request.endedUnixMs ?? occasion.atUnixMs);
      return morningTelling({ when, results, waiting, named: readers.length > 1 }, occasion.atUnixMs);
    };
    return toPeople(occasion, missed, words, true);
  });
}

/** "Last night"; after days off, "Since Tue 24 Nov": the evening of the first result. */
function whenWords({ atUnixMs, config }: Occasion, firstUnixMs: UtcMillis): string {
  if (atUnixMs - firstUnixMs < DAY) return "Last night";
  const { date } = nightOf(firstUnixMs, config.observatory.site.timeZone);
  return `Since ${DateTime.fromISO(date, { locale: "en-GB" }).toFormat("ccc d LLL")}`;
}

/** What came to its end, done or failed, since the last summary. */
function resultsOf(occasion: Occasion): Request[] {
  const { untilUnixMs, fromUnixMs } = periodOf(occasion);
  return [...occasion.after.requests.values()].filter(({ state, endedUnixMs }) => {
    const ended = endedUnixMs !== null && endedUnixMs >= fromUnixMs && endedUnixMs < untilUnixMs;
    return ended && (state === "completed" || state === "failed");
  });
}

/** For each person, what ended while they slept; who slept through nothing is left out. */
function whatTheyMissed(occasion: Occasion, concerned: Concerned): Concerned {
  const missed = [...concerned].map(([personId, requests]) => {
    const slept = requests.filter((each) => sleptThrough(occasion, personId, each.endedUnixMs ?? 0));
    return [personId, slept] as const;
  });
  return new Map(missed.filter(([, requests]) => requests.length > 0));
}

/** From the summary before this one (a day back for the first) up to this one, its own instant not included. */
function periodOf({ before, after, atUnixMs }: Occasion): { fromUnixMs: UtcMillis; untilUnixMs: UtcMillis } {
  const untilUnixMs = after.jobs.get(MORNING_JOB) ?? atUnixMs;
  const previous = before.jobs.get(MORNING_JOB) ?? untilUnixMs - DAY;
  return { fromUnixMs: previous, untilUnixMs };
}

function sleptThrough(occasion: Occasion, personId: PersonId, endedUnixMs: UtcMillis): boolean {
  const choice = choiceOf(occasion, personId);
  return choice.how === "morning" || sleeps(occasion, choice, endedUnixMs);
}

/** The readers' results, each once, in order of time. */
function merged(occasion: Occasion, readers: readonly PersonId[], results: Concerned): NightResult[] {
  const people = new Map<Request, PersonId[]>();
  for (const reader of readers) {
    for (const request of results.get(reader) ?? []) {
      people.set(request, [...(people.get(request) ?? []), reader]);
    }
  }
  return [...people]
    .map(([request, concerned]) => ({
      request,
      people: concerned,
      frames: framesOf(occasion, request.number),
    }))
    .sort((a, b) => (a.request.endedUnixMs ?? 0) - (b.request.endedUnixMs ?? 0));
}

function waitingNumbers({ after }: Occasion, readers: readonly PersonId[], classId: string): number[] {
  const reading = new Set(readers);
  return [...after.waiting].filter((number) => {
    const request = after.requests.get(number);
    return request?.classId === classId && peopleOf(request).some((id) => reading.has(id));
  });
}
