/** /why: the fuller reason for a request's place, turn by turn. */

import { capital } from "../../base/english.js";
import { type Phrase, say } from "../../base/phrase.js";
import { MINUTE } from "../../base/units.js";
import type { Estimate } from "../../estimates/forecast-service.js";
import type { Turn } from "../../forecast/night-run.js";
import type { Precedence } from "../../forecast/why-before.js";
import { airmassWords } from "../../notices/words/amounts.js";
import { deciderClause } from "../../notices/words/decider.js";
import { timeFrom } from "../../notices/words/times.js";
import type { Request } from "../../queue/request.js";
import { airmassAtTrue } from "../../sky/airmass.js";
import type { Call } from "../command.js";
import { defineCommand } from "../define.js";
import { isMine } from "../people/people.js";
import { seenLabel } from "../people/seen.js";
import { label, requestOf } from "../read/read-request.js";
import type { Reply } from "../reply.js";
import type { Present, Services } from "../services.js";
import { changeSentence } from "../words/change-words.js";
import { placeWords, startCell, startLines } from "../words/estimate-words.js";
import { heightWords } from "../words/height-words.js";
import { closedClause } from "../words/no-turn-words.js";
import { ruleSentence, worthwhileSentence } from "../words/reasons.js";
import { storyOf } from "../words/request-story.js";
import { asAskedSentence, ifLiftedWords } from "../words/wait-words.js";
import { refuseOtherClass } from "./when.js";

/** Rows that a phone shows without scrolling for long. */
const MOST_ROWS = 8;

export const why = defineCommand({
  name: "why",
  who: "student",
  help: "Why a request has its place: the turns before it, each with what decided.",
  options: [
    { name: "request", kind: "request", required: true, help: "Its number", offer: "all-active" },
    {
      name: "other",
      kind: "request",
      help: "Another request's number: which of the two runs first, and what decides",
      offer: "all-active",
    },
  ],
  examples: ["/why 12", "/why 12 9"],
  asks: true,
  answer: async ({ call, values, services }) => {
    const asked = requestOf(services.desk.state, values.request);
    refuseOtherClass(asked, call);
    if (values.other !== undefined)
      return comparison(asked, requestOf(services.desk.state, values.other), call, services);
    return asked.state === "waiting" ? explanation(asked, call, services) : storyOf(asked, services);
  },
});

/** Which of two runs first, and the rule with its numbers. */
function comparison(one: Request, other: Request, call: Call, services: Present): Reply {
  const { now } = services;
  for (const each of [one, other]) {
    if (each.state === "waiting") continue;
    refuseOtherClass(each, call);
    return storyOf(each, services);
  }
  const why = services.forecast.whyBefore(one.number, other.number);
  if (why === null) return withoutAnswer(one, other, services);
  const name = namesFor(call, services);
  const [first, second] = [name(why.first), name(why.second)];
  const held = isHeld(one, services);
  const reversed = isLikelierSecond(why, services);
  const supposed = held ? ifLiftedWords(services) : "if nobody else asks";
  return {
    tone: "answer",
    title: capital(
      held || reversed
        ? `${supposed}, ${first} ${held ? "would run" : "runs"} before ${second}`
        : `${first} runs before ${second}`,
    ),
    lines: [
      say`Why: ${whyClause(why, second, services)}.`,
      held
        ? say`That would be about ${timeFrom(why.decidedUnixMs, now)}.`
        : say`That will be about ${timeFrom(why.decidedUnixMs, now)}, if all goes to plan.`,
      ...(reversed ? [likelierLine(why, name, services)] : []),
      ruleLine(services),
    ],
  };
}

function withoutAnswer(one: Request, other: Request, services: Services): Reply {
  const same = one.number === other.number;
  const without = isHeld(one, services) ? ` ${ifLiftedWords(services).replace(" now", "")} either` : "";
  return {
    tone: "answer",
    title: same ? "That is one request" : "Neither has a turn tonight",
    lines: [
      [
        same
          ? "Give two different numbers, as in /why 12 9."
          : `Neither would run tonight${without}, so nothing decides between them.`,
      ],
    ],
  };
}

/** Whether people are told an earlier start for the second, since others may still ask. */
function isLikelierSecond({ first, second }: Precedence, { forecast }: Services): boolean {
  const places = forecast.places();
  return (places.get(second) ?? Number.POSITIVE_INFINITY) < (places.get(first) ?? 0);
}

function likelierLine(
  { first, second }: Precedence,
  name: (number: number) => string,
  { forecast, now }: Present,
): Phrase {
  const start = (number: number): Phrase => startCell(forecast.estimate(number) as Estimate, now);
  return say`Allowing for others who may still ask, ${name(second)} is expected first, about ${start(second)} against ${start(first)}.`;
}

function whyClause(why: Precedence, second: string, services: Present): Phrase {
  const { config, desk, now } = services;
  const later = desk.state.requests.get(why.second);
  if (why.decider.by === "window" && why.decider.opensUnixMs === null && later)
    return [closedClause(later, why.decidedUnixMs, services, second)];
  return deciderClause(why.decider, { tiers: config.tiers, now, other: second });
}

function isHeld({ number }: Request, { forecast }: Services): boolean {
  return forecast.estimate(number)?.noTurn?.why === "hold";
}

function ruleLine({ desk, config }: Services): Phrase {
  const rule = desk.state.rule ?? config.queue.rule;
  return [`The rule is ${rule}. ${ruleSentence(rule)}${worthwhileSentence(config)}`];
}

function namesFor({ asker }: Call, { desk }: Services): (number: number) => string {
  return (number) => seenLabel(desk.state.requests.get(number), asker.classId);
}

function explanation(request: Request, call: Call, services: Present): Reply {
  const { forecast, config } = services;
  const estimate = forecast.estimate(request.number);
  const { turns } = forecast.ifLifted();
  const index = turns.findIndex((turn) => turn.number === request.number);
  const shown = index < 0 ? [] : turns.slice(Math.max(0, index + 1 - MOST_ROWS), index + 1);
  const left = index + 1 - shown.length;
  const asked = estimate && asAskedSentence(estimate, request, isMine(request, call.asker.id), services);
  const change = estimate && changeSentence(estimate, request, services);
  return {
    tone: "answer",
    title: `${label(request)}: ${estimate ? placeWords(estimate) : request.state}`,
    lines: [
      ...(estimate ? startLines(estimate, request, services) : []),
      ...(asked ? [asked] : []),
      ...(index < 0 && isHeld(request, services)
        ? [[capital(`${ifLiftedWords(services)}, it would have no turn tonight.`)]]
        : []),
      say`${ruleLine(services)} Tiers come first: ${config.tiers.join(", then ")}.`,
      ...(estimate && estimate.turn !== null && differs(estimate) ? [[TABLE_SUPPOSES]] : []),
      ...(left > 0 ? [[`${left} earlier ${left === 1 ? "turn is" : "turns are"} left out below.`]] : []),
      ...(change ? [change] : []),
    ],
    ...(shown.length === 0 ? {} : { table: tableOf(shown, request, call, services) }),
  };
}

const TABLE_SUPPOSES =
  "The table is the night as it runs if nobody else asks and nothing goes wrong; the start above allows for both.";

function differs({ turn, startUnixMs }: Estimate): boolean {
  return turn !== null && startUnixMs !== null && Math.abs(startUnixMs - turn.takenUnixMs) >= MINUTE;
}

function tableOf(
  turns: readonly Turn[],
  request: Request,
  call: Call,
  services: Present,
): NonNullable<Reply["table"]> {
  const name = namesFor(call, services);
  const row = (turn: Turn): Phrase[] => [
    [timeFrom(turn.takenUnixMs, services.now)],
    [capital(name(turn.number))],
    [`${heightWords(turn.altitudeDegrees)}, airmass ${airmassWords(airmassAtTrue(turn.altitudeDegrees))}`],
    decidedCell(turn, name, services),
  ];
  return {
    columns: [
      isHeld(request, services) ? ifLiftedWords(services) : "start if nobody else asks",
      "request",
      "height then",
      "what decided",
    ],
    rows: turns.map(row),
    ownRows: turns.flatMap((turn, index) => (turn.number === request.number ? [index] : [])),
  };
}

function decidedCell(turn: Turn, name: (number: number) => string, { config, now }: Present): Phrase {
  if (turn.aheadOf === null) return say`nothing else could be observed then`;
  const other = name(turn.aheadOf);
  return say`before ${other}: ${deciderClause(turn.decider, { tiers: config.tiers, now, other })}`;
}
