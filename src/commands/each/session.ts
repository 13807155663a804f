/** /session: opens and closes the hours in which a class asks; shows who is in it; sets groups. */

import { count } from "../../base/english.js";
import { type Phrase, say } from "../../base/phrase.js";
import type { UtcMillis } from "../../base/units.js";
import type { State } from "../../journal/state.js";
import { timeFrom } from "../../notices/words/times.js";
import { type Ask, defineCommand, type Values } from "../define.js";
import { Offer } from "../offer.js";
import { asksInSessions, mayAsk, sessionsOnly } from "../people/class-sessions.js";
import { roster, setGroup } from "../people/roster.js";
import type { Reply } from "../reply.js";
import { example } from "../words/example.js";

const OPTIONS = [
  {
    name: "action",
    kind: "choice",
    choices: ["show", "open", "close", "always", "roster", "groups"],
    help: "What to do ('always': the class may ask at any time)",
  },
  { name: "until", kind: "time", help: "With open: ends by itself then, such as 22:30" },
  { name: "group", kind: "text", help: "With groups: the group to set", maxLength: 40, completes: "groups" },
  {
    name: "members",
    kind: "text",
    help: "With groups: who is in it, such as mira, tomas",
    maxLength: 1000,
    completes: "people",
  },
] as const;

const OPEN = example("/session open", { action: "open" });
const CLOSE = example("/session close", { action: "close" });

type SessionAsk = Ask<Values<typeof OPTIONS>>;

export const session = defineCommand({
  name: "session",
  who: "instructor",
  help: "Opens or closes asking for your class, shows the roster, sets groups.",
  otherwise: "/mine shows your requests, /tonight what is up.",
  options: OPTIONS,
  examples: [
    "/session",
    "/session open until 22:30",
    "/session close",
    "/session roster",
    "/session groups Alder mira, tomas",
  ],
  answer: async (ask) => {
    switch (ask.values.action ?? "show") {
      case "open":
        return opened(ask);
      case "close":
        return closed(ask);
      case "always":
        return always(ask);
      case "roster":
        return roster(ask.call, ask.services);
      case "groups":
        return ask.values.group === undefined
          ? roster(ask.call, ask.services)
          : setGroup(ask, ask.values.group, ask.values.members ?? "");
      default:
        return shown(ask);
    }
  },
});

async function opened({ call, values, now, act }: SessionAsk): Promise<Reply> {
  const { classId, id } = call.asker;
  const untilUnixMs = values.until ?? null;
  await act(() => [{ type: "session.opened", classId, by: id, untilUnixMs }, sessionsOnly(classId, true)]);
  return {
    tone: "done",
    title: "The session is open",
    lines: [
      say`Your class may ask now, ${endWords(untilUnixMs, now)}. After that only staff can ask; what is waiting still runs.`,
    ],
  };
}

async function closed({ call, services, act }: SessionAsk): Promise<Reply> {
  const { classId, id } = call.asker;
  await act((state, now) => {
    if (mayAsk(state, classId, now))
      return [{ type: "session.closed", classId, by: id }, sessionsOnly(classId, true)];
    throw new Offer("closed-already", [say`The session is closed already. Type ${OPEN} to open it.`]);
  });
  const waiting = waitingOf(services.desk.state, classId);
  return {
    tone: "done",
    title: "The session is closed",
    lines: [
      say`Students of your class cannot ask until ${OPEN}, or ${example("/session always", { action: "always" })}. ${leftWords(waiting)}`,
    ],
  };
}

async function always({ call, act }: SessionAsk): Promise<Reply> {
  const { classId, id } = call.asker;
  await act((state) => [
    ...(state.sessions.has(classId) ? [{ type: "session.closed" as const, classId, by: id }] : []),
    sessionsOnly(classId, false),
  ]);
  return {
    tone: "done",
    title: "Your class may ask at any time",
    lines: [say`Day and night, without a session, until you type ${OPEN} or ${CLOSE}.`],
  };
}

function shown({ call, services, now }: SessionAsk): Reply {
  const { state } = services.desk;
  const { classId } = call.asker;
  const open = state.sessions.get(classId);
  const inSessions = asksInSessions(state, classId);
  const may = mayAsk(state, classId, now);
  const title = !may
    ? "The session is closed"
    : inSessions
      ? "The session is open"
      : "Your class may ask at any time";
  const line = !may
    ? say`Students cannot ask until ${OPEN}.`
    : inSessions
      ? say`It was opened at ${timeFrom(open?.openedUnixMs ?? now, now)} and is open ${endWords(open?.untilUnixMs ?? null, now)}.`
      : say`No session has been used for it. ${OPEN} or ${CLOSE} makes it ask in sessions only.`;
  return {
    tone: "answer",
    title,
    lines: [line, [leftWords(waitingOf(state, classId))]],
  };
}

function waitingOf(state: State, classId: string): number {
  return [...state.waiting].filter((number) => state.requests.get(number)?.classId === classId).length;
}

function leftWords(waiting: number): string {
  if (waiting === 0) return "Nothing of your class is waiting.";
  const one = waiting === 1;
  return `${count(waiting, "request")} of your class ${one ? "waits" : "wait"}; closing does not end ${one ? "it" : "them"}, /cancel all and a reason does.`;
}

function endWords(untilUnixMs: UtcMillis | null, now: UtcMillis): Phrase {
  return untilUnixMs === null ? say`until ${CLOSE}` : say`until ${timeFrom(untilUnixMs, now)}`;
}
