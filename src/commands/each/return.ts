/** /return: puts requests that failed, or brought no usable frame, back into the queue, with number and time of asking. */
import { count } from "../../base/english.js";
import { say } from "../../base/phrase.js";
import { Refusal } from "../../base/refusal.js";
import type { UtcMillis } from "../../base/units.js";
import type { NightslateEvent } from "../../journal/events.js";
import type { State } from "../../journal/state.js";
import { hasUsableFrame } from "../../journal/usable-frames.js";
import { numberList } from "../../notices/words/amounts.js";
import type { Request } from "../../queue/request.js";
import type { RawOptions } from "../command.js";
import { type Ask, defineCommand, type Values } from "../define.js";
import { nightAt } from "../plan/sky-view.js";
import { cleanText } from "../read/clean-text.js";
import { label, requestOf } from "../read/read-request.js";
import { readPastClock } from "../read/read-time.js";
import type { Reply } from "../reply.js";
import { placeWords, startSentence } from "../words/estimate-words.js";

const WITHOUT_REASON = "the instructor put it back";
/** So many may be named at once. */
const MOST_NUMBERS = 200;

const OPTIONS = [
  {
    name: "request",
    kind: "text",
    help: "Their numbers: 12, or 12 14 17-19",
    maxLength: 300,
  },
  { name: "all", kind: "choice", choices: ["yes"], help: "All of tonight's" },
  {
    name: "since",
    kind: "text",
    named: true,
    help: "All that ended since a time, such as 21:40",
    maxLength: 20,
  },
  { name: "reason", kind: "text", help: "Why; the owners are told", maxLength: 200 },
] as const;

type ReturnAsk = Ask<Values<typeof OPTIONS>>;

export const giveBack = defineCommand({
  name: "return",
  who: "instructor",
  help: "Puts requests that failed or brought no usable frame back; they keep number and time of asking.",
  otherwise: "Ask again with /request, or ask your instructor to put it back.",
  options: OPTIONS,
  examples: ["/return 12", "/return 12 14 17-19 camera works again", "/return all", "/return since 21:40"],
  prepare: splitReturn,
  answer: async (ask) => {
    const reason = ask.values.reason ?? WITHOUT_REASON;
    const { entry } = await ask.act((state, now) =>
      chosen(ask, state, now).map(
        ({ number }): NightslateEvent => ({
          type: "request.returned",
          number,
          reason,
          by: ask.call.asker.id,
        }),
      ),
    );
    const numbers = (entry?.events ?? []).flatMap((event) =>
      event.type === "request.returned" ? [event.number] : [],
    );
    return numbers.length === 1 ? oneBack(ask, numbers[0] as number) : manyBack(numbers);
  },
});

/** "12 14 17-19 camera works again": numbers first, wherever the words were put, then why. */
function splitReturn(raw: RawOptions): RawOptions {
  if (raw.request === undefined) return raw;
  const text = cleanText([raw.request, raw.reason].filter((each) => each !== undefined).join(" "));
  const numbers = /^((?:(?:#?\d+(?:\s*[-–]\s*#?\d+)?|and)(?![\w:])[\s,]*)+)(.*)$/i.exec(text);
  if (!numbers) return raw.all || raw.since ? { ...raw, request: undefined, reason: text } : raw;
  return { ...raw, request: numbers[1], reason: numbers[2] === "" ? undefined : numbers[2] };
}

function chosen({ call, values, services }: ReturnAsk, state: State, now: UtcMillis): Request[] {
  const { request, all, since } = values;
  if ([request, all, since].filter((each) => each !== undefined).length !== 1)
    throw new Refusal(
      "choose-one",
      "Say which: numbers, all, or since a time, as in /return 12 14, /return all or /return since 21:40.",
    );
  const { classId } = call.asker;
  if (request !== undefined) {
    const named = numbersIn(request).map((number) => requestOf(state, number));
    for (const each of named) refuse(each, classId, state);
    return named;
  }
  const { observatory } = services.config;
  const fromUnixMs =
    since === undefined
      ? nightAt(now, observatory).startUnixMs
      : readPastClock(since, now, observatory.site.timeZone);
  const back = [...state.requests.values()].filter(
    (each) => (each.endedUnixMs ?? 0) >= fromUnixMs && objection(each, classId, state) === null,
  );
  if (back.length > 0) return back;
  const when = since === undefined ? "tonight" : `since ${since}`;
  throw new Refusal(
    "nothing-to-return",
    `Nothing of your class failed or came without a usable frame ${when}.`,
  );
}

/** "12, 14 and 17-19" as numbers, each once, in order. */
function numbersIn(text: string): number[] {
  const numbers = new Set<number>();
  for (const [, from, to] of text.matchAll(/#?(\d{1,9})(?:\s*[-–]\s*#?(\d{1,9}))?/g)) {
    const last = Math.min(Number(to ?? from), Number(from) + MOST_NUMBERS);
    for (let number = Number(from); number <= last; number++) numbers.add(number);
  }
  if (numbers.size === 0)
    throw new Refusal(
      "bad-request-number",
      `"${text.slice(0, 30)}" is no request number: type /return 12, for example.`,
    );
  if (numbers.size > MOST_NUMBERS)
    throw new Refusal(
      "too-many",
      `At most ${MOST_NUMBERS} can be named at once; /return all takes all of tonight's.`,
    );
  return [...numbers].sort((a, b) => a - b);
}

/** @throws {Refusal} codes "other-class", "has-frames", "not-failed" */
function refuse(request: Request, classId: string, state: State): void {
  const why = objection(request, classId, state);
  if (why !== null) throw new Refusal(...why);
}

function objection(request: Request, classId: string, state: State): [code: string, sentence: string] | null {
  const { number } = request;
  if (request.classId !== classId)
    return ["other-class", `#${number} belongs to another class; only its own staff can put it back.`];
  if (request.state === "completed" && hasUsableFrame(state.frames.get(number) ?? []))
    return [
      "has-frames",
      `${label(request)} is completed and has usable frames; only a request that failed or brought none can be put back. Its owner can ask again with /request.`,
    ];
  if (request.state === "failed" || request.state === "completed") return null;
  return [
    "not-failed",
    `${label(request)} is ${request.state}; only a request that failed or brought no usable frame can be put back. Its owner can ask again with /request.`,
  ];
}

function oneBack({ services }: ReturnAsk, number: number): Reply {
  const request = requestOf(services.desk.state, number);
  const estimate = services.forecast.estimate(number);
  return {
    tone: "done",
    title: `${label(request)}: back in the queue${estimate ? `, ${placeWords(estimate)}` : ""}`,
    lines: [...(estimate ? [startSentence(estimate, request, services)] : []), ["Its owner is told."]],
  };
}

function manyBack(numbers: readonly number[]): Reply {
  return {
    tone: "done",
    title: `${count(numbers.length, "request")} back in the queue`,
    lines: [
      say`${numberList(numbers, numbers.length)}, each with its number and time of asking; the owners are told.`,
    ],
  };
}
