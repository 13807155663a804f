/** /hold: stops the next request from being taken, at once. It is software, not an interlock, and says so. */
import { type Phrase, say, strong } from "../../base/phrase.js";
import { Refusal } from "../../base/refusal.js";
import type { UtcMillis } from "../../base/units.js";
import type { NightslateEvent } from "../../journal/events.js";
import type { State } from "../../journal/state.js";
import { NO_INTERLOCK } from "../../notices/words/everyone.js";
import { timeFrom } from "../../notices/words/times.js";
import type { PersonId } from "../../queue/request.js";
import type { RawOptions } from "../command.js";
import { defineCommand } from "../define.js";
import { label } from "../read/read-request.js";
import type { Services } from "../services.js";

export const hold = defineCommand({
  name: "hold",
  who: "operator",
  help: "Stops new requests from being taken; for people in the dome, what is under way too. No interlock.",
  atOnce: "Use the stop at the telescope.",
  otherwise: "If someone is in danger, tell the staff in the room at once.",
  options: [
    { name: "reason", kind: "text", required: true, help: "Why; the classes are told", maxLength: 200 },
    {
      name: "now",
      kind: "choice",
      choices: ["yes"],
      help: "Also stops what is under way, at once; it keeps its place",
    },
    { name: "until", kind: "time", help: "Ends by itself then, such as 22:30 or 20 min" },
  ],
  examples: ["/hold cloud", "/hold people in the dome", "/hold cloud until 22:30", "/hold now strange noise"],
  prepare: splitUntil,
  answer: async ({ call, values, services }) => {
    const { hold: before, taken } = services.desk.state;
    const { entry, repeated } = await services.desk.act(
      (state, now) => {
        const people = meansPeople(values.reason) ? ({ people: true } as const) : {};
        const untilUnixMs = values.until ?? null;
        if ("people" in people && untilUnixMs !== null) throw noEndByTheClock();
        if (state.hold?.people && !("people" in people)) throw peopleFirst();
        const hold = { reason: values.reason, by: call.asker.id, sinceUnixMs: now, untilUnixMs, ...people };
        const stops = "people" in people || values.now !== undefined;
        return [
          ...(stops ? brokenOff(state, values.reason, call.asker.id) : []),
          { type: "hold.placed", hold },
        ];
      },
      { by: call.asker.id, onceKey: call.onceKey },
    );
    const stopped = entry?.events.some(({ type }) => type === "request.returned") ? taken : null;
    const now = entry?.atUnixMs ?? services.clock.now();
    return {
      tone: "warning",
      title: before && !repeated ? "Still on hold" : "On hold",
      lines: [
        say`${strong("No new request is taken from now on")}, ${untilWords(values.until, now)}. ${stopped ? wasStopped(services, stopped.number) : underWay(services, now)}`,
        [NO_INTERLOCK],
        ...(before && !repeated ? [[`It takes the place of the earlier hold (${before.reason}).`]] : []),
      ],
      actions: [{ command: "resume", options: {}, label: "Resume", onlyFor: null }],
    };
  },
});

/** What is under way goes back to its place: its owner can do nothing for it. */
function brokenOff({ taken }: State, reason: string, by: PersonId): NightslateEvent[] {
  return taken === null ? [] : [{ type: "request.returned", number: taken.number, reason, by }];
}

const PEOPLE =
  /\b(people|persons?|some(one|body)|any(one|body)|visitors?|students?|staff|class|we|i|us|child(ren)?)\b/i;
const INSIDE =
  /\b(in|into|inside|enter(s|ing)?|under|at|near|by|on)\b.*\b(dome|roof|shed|building|observatory|pier|mount|telescope|ladder)\b/i;

/** Whether a reason says that people are, or may be, at the machines. */
function meansPeople(reason: string): boolean {
  const text = reason.replace(/[’']\w+/g, "");
  return (
    /^people\b/i.test(text) ||
    /\b(in|into|inside) the dome\b/i.test(text) ||
    (PEOPLE.test(text) && INSIDE.test(text))
  );
}

function noEndByTheClock(): Refusal {
  return new Refusal(
    "people-no-end",
    "A hold for people has no end by the clock: leave the time out, and type /resume when everyone is out.",
  );
}

function peopleFirst(): Refusal {
  return new Refusal(
    "people-first",
    "A hold for people stands and keeps everything still; type /resume when everyone is out.",
  );
}

function wasStopped({ desk }: Services, number: number): Phrase {
  const request = desk.state.requests.get(number);
  return request ? say`${strong(`${label(request)} is stopped at once`)} and keeps its place.` : [];
}

/** "cloud until 22:30" in one text: what stands after the last "until" is the end, and has to be a time. */
function splitUntil(raw: RawOptions): RawOptions {
  const match = /^(.*\S)\s+until\s+(\S.*)$/i.exec(String(raw.reason ?? "").trim());
  if (!match || raw.until !== undefined || /^further notice$/i.test(match[2] as string)) return raw;
  return { ...raw, reason: match[1], until: match[2] };
}

function untilWords(until: UtcMillis | undefined, now: UtcMillis): Phrase {
  return until === undefined
    ? say`until someone types /resume`
    : say`until ${timeFrom(until, now)}, or /resume before`;
}

function underWay({ desk }: Services, now: UtcMillis): Phrase {
  const { taken, requests } = desk.state;
  const request = taken ? requests.get(taken.number) : undefined;
  if (!taken || !request) return say`Nothing is under way.`;
  return say`${label(request)} is under way and runs to its end, about ${timeFrom(Math.max(now, taken.freeUnixMs), now)}.`;
}
