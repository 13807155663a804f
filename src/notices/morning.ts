/** The morning summary: what the night brought to those who slept. */
import { DAY, type UtcMillis } from "../base/units.js";
import type { Notice } from "../journal/notice.js";
import type { PersonId, Request } from "../queue/request.js";
import { choiceOf, peopleOf, sleeps, toPeople } from "./audience.js";
import { framesOf, type Occasion } from "./telling.js";
import { morningTelling, type NightResult } from "./words/summaries.js";

/** Name of the scheduled job, whose due times mark off one summary from the next. */
export const MORNING_JOB = "morning-summary";

/** For those who wait for it, and for those whose requests ended in their quiet hours; nobody else. */
export function onMorning(occasion: Occasion): Notice[] {
  const results = resultsByPerson(occasion);
  return toPeople(
    occasion,
    results.keys(),
    (readers) => {
      const waiting = waitingNumbers(occasion, readers);
      return morningTelling(
        merged(occasion, readers, results),
        waiting,
        readers.length > 1,
        occasion.atUnixMs,
      );
    },
    { morning: true },
  );
}

function resultsByPerson(occasion: Occasion): Map<PersonId, Request[]> {
  const { untilUnixMs, fromUnixMs } = periodOf(occasion);
  const results = new Map<PersonId, Request[]>();
  for (const request of occasion.after.requests.values()) {
    const { state, endedUnixMs } = request;
    if (endedUnixMs === null || endedUnixMs < fromUnixMs || endedUnixMs >= untilUnixMs) continue;
    if (state !== "completed" && state !== "failed") continue;
    for (const personId of peopleOf(request)) {
      if (!slept(occasion, personId, endedUnixMs)) continue;
      results.set(personId, [...(results.get(personId) ?? []), request]);
    }
  }
  return results;
}

/** From the summary before this one (a day back for the first) up to this one, its own instant not included. */
function periodOf({ before, after, atUnixMs }: Occasion): { fromUnixMs: UtcMillis; untilUnixMs: UtcMillis } {
  const untilUnixMs = after.jobs.get(MORNING_JOB) ?? atUnixMs;
  const previous = before.jobs.get(MORNING_JOB) ?? untilUnixMs - DAY;
  return { fromUnixMs: previous, untilUnixMs };
}

function slept(occasion: Occasion, personId: PersonId, endedUnixMs: UtcMillis): boolean {
  const choice = choiceOf(occasion, personId);
  return choice.how === "morning" || sleeps(occasion, choice, endedUnixMs);
}

/** The readers' results, each once, in order of time. */
function merged(
  occasion: Occasion,
  readers: readonly PersonId[],
  results: ReadonlyMap<PersonId, Request[]>,
): NightResult[] {
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

function waitingNumbers({ after }: Occasion, readers: readonly PersonId[]): number[] {
  const reading = new Set(readers);
  return [...after.waiting].filter((number) => {
    const request = after.requests.get(number);
    return request !== undefined && peopleOf(request).some((id) => reading.has(id));
  });
}
