/** /why: the fuller reason for a request's place, turn by turn. */
import { type Phrase, say } from "../../base/phrase.js";
import type { UtcMillis } from "../../base/units.js";
import type { Turn } from "../../forecast/night-run.js";
import { degrees } from "../../notices/words/amounts.js";
import { timeFrom } from "../../notices/words/times.js";
import type { Request } from "../../queue/request.js";
import type { Call } from "../command.js";
import { defineCommand } from "../define.js";
import { placeWords, startSentence } from "../estimate-words.js";
import { label, requestOf } from "../read-request.js";
import { changeSentence, deciderClause, ruleSentence, turnClause } from "../reasons.js";
import type { Reply } from "../reply.js";
import { storyOf } from "../request-story.js";
import { seenLabel } from "../seen.js";
import type { Services } from "../services.js";
import { airmassWords, capital } from "../words.js";
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
      required: false,
      help: "Another request's number: which of the two runs first, and what decides",
      offer: "all-active",
    },
  ],
  examples: ["/why 12", "/why 12 9"],
  answer: async ({ call, values, services, now }) => {
    const asked = requestOf(services.desk.state, values.request);
    refuseOtherClass(asked, call);
    if (values.other !== undefined)
      return comparison(asked, requestOf(services.desk.state, values.other), call, services, now);
    return asked.state === "waiting"
      ? explanation(asked, call, services, now)
      : storyOf(asked, services, now);
  },
});

/** Which of two runs first, and the rule with its numbers. */
function comparison(one: Request, other: Request, call: Call, services: Services, now: UtcMillis): Reply {
  const { desk, forecast, config } = services;
  const name = (number: number): string => seenLabel(desk.state.requests.get(number), call.asker.classId);
  for (const each of [one, other]) {
    if (each.state === "waiting") continue;
    refuseOtherClass(each, call);
    return storyOf(each, services, now);
  }
  const why = forecast.whyBefore(one.number, other.number);
  if (why === null) {
    const same = one.number === other.number;
    return {
      tone: "answer",
      title: same ? "That is one request" : "Neither runs tonight",
      lines: [
        [same ? "Give two different numbers, as in /why 12 9." : "So nothing decides between them tonight."],
      ],
      audience: "asker",
    };
  }
  const clause = deciderClause(why.decider, { tiers: config.tiers, now });
  const rule = desk.state.rule ?? config.queue.rule;
  return {
    tone: "answer",
    title: `${capital(name(why.first))} runs before ${name(why.second)}`,
    lines: [
      say`It was decided by this: ${clause}.`,
      say`That is how it stands when ${name(why.first)} is taken, about ${timeFrom(why.decidedUnixMs, now)} if all goes to plan.`,
      [`The rule is ${rule}. ${ruleSentence(rule)}`],
    ],
    audience: "asker",
  };
}

function explanation(request: Request, call: Call, services: Services, now: UtcMillis): Reply {
  const { forecast, desk, config } = services;
  const estimate = forecast.estimate(request.number);
  const { turns } = forecast.central();
  const index = turns.findIndex((turn) => turn.number === request.number);
  const shown = index < 0 ? [] : turns.slice(Math.max(0, index + 1 - MOST_ROWS), index + 1);
  const left = index + 1 - shown.length;
  const rule = desk.state.rule ?? config.queue.rule;
  return {
    tone: "answer",
    title: `${label(request)}: ${estimate ? placeWords(estimate) : request.state}`,
    lines: [
      ...(estimate ? [startSentence(estimate, request, services, now)] : []),
      [`The rule is ${rule}. ${ruleSentence(rule)} Tiers come first: ${config.tiers.join(", then ")}.`],
      ...(left > 0 ? [[`${left} earlier ${left === 1 ? "turn is" : "turns are"} left out below.`]] : []),
      [changeSentence(rule)],
    ],
    ...(shown.length === 0 ? {} : { table: tableOf(shown, request, call, services, now) }),
    audience: "asker",
  };
}

function tableOf(
  turns: readonly Turn[],
  request: Request,
  { asker }: Call,
  { desk, config }: Services,
  now: UtcMillis,
): NonNullable<Reply["table"]> {
  const context = { tiers: config.tiers, now };
  const name = (number: number): string => seenLabel(desk.state.requests.get(number), asker.classId);
  const row = (turn: Turn): Phrase[] => [
    [timeFrom(turn.takenUnixMs, now)],
    [capital(name(turn.number))],
    [`${degrees(turn.altitudeDegrees)}, airmass ${airmassWords(turn.airmass)}`],
    turn.aheadOf === null
      ? turnClause(turn, context)
      : say`before ${name(turn.aheadOf)}: ${turnClause(turn, context)}`,
  ];
  return {
    columns: ["start", "request", "height then", "what decided"],
    rows: turns.map(row),
    ownRows: turns.flatMap((turn, index) => (turn.number === request.number ? [index] : [])),
  };
}
