/** /cancel: staff end requests of their class, one or many, with a reason; one announcement, undone within minutes. */

import { count } from "../../base/english.js";
import { clockTime, say, typed } from "../../base/phrase.js";
import type { Refusal } from "../../base/refusal.js";
import type { NightslateEvent } from "../../journal/events.js";
import type { State } from "../../journal/state.js";
import { duration, numberList } from "../../notices/words/amounts.js";
import { type Ask, defineCommand, type Values } from "../define.js";
import { Offer } from "../offer.js";
import { chooseRequests, splitReason } from "../read/chosen-requests.js";
import { label, requestOf } from "../read/read-request.js";
import type { Reply } from "../reply.js";
import { onTheWatch, undoneUntil } from "../undo-window.js";
import { example } from "../words/example.js";

const OPTIONS = [
  {
    name: "request",
    kind: "request",
    required: false,
    help: "One request, by number",
    offer: "all-active",
    ofOthers: true,
  },
  { name: "person", kind: "person", named: true, required: false, help: "All that this person has waiting" },
  { name: "target", kind: "target", named: true, required: false, help: "All that wait for this target" },
  {
    name: "group",
    kind: "text",
    named: true,
    required: false,
    help: "All that this group has waiting",
    maxLength: 40,
    completes: "groups",
  },
  {
    name: "all",
    kind: "choice",
    choices: ["yes"],
    required: false,
    help: "Everything your class has waiting",
  },
  { name: "reason", kind: "text", required: true, help: "Why; the people affected are told", maxLength: 200 },
] as const;

type CancelAsk = Ask<Values<typeof OPTIONS>>;

export const cancel = defineCommand({
  name: "cancel",
  who: "instructor",
  help: "Cancels waiting requests of your class, with one announcement; can be undone for a short while.",
  otherwise: "To take back your own, type /withdraw and its number.",
  options: OPTIONS,
  examples: [
    "/cancel 12 reason=cloud coming in",
    "/cancel all clouds",
    "/cancel target=M13 below the trees",
    "/cancel person=mira reason=asked to",
    "/cancel group=Alder reason=class is over",
  ],
  prepare: (raw, { catalogue }) => splitReason(raw, catalogue),
  answer: async (ask) => {
    const { call, services } = ask;
    const { entry } = await services.desk.act((state) => [decide(ask, state)], {
      by: call.asker.id,
      onceKey: call.onceKey,
    });
    const event = entry?.events.find((each) => each.type === "requests.cancelled");
    return cancelledReply(ask, event?.cancelId ?? "", event?.numbers ?? [], entry?.atUnixMs ?? ask.now);
  },
});

function decide({ call, values, services }: CancelAsk, state: State): NightslateEvent {
  const { reason, request, person, target, group, all } = values;
  if (request !== undefined && /^(and |, ?)?#?\d+\b/.test(reason)) throw oneAtATime(request);
  const chosen = chooseRequests({ request, person, target, group, all }, call.asker, state, services);
  return {
    type: "requests.cancelled",
    cancelId: `c${state.lastEntryId + 1}`,
    numbers: chosen.requests.map((each) => each.number),
    reason,
    by: call.asker.id,
  };
}

const SEVERAL = typed("person=, target=, group= and all", "person: target: group: all:");

/** Further numbers would otherwise be taken for the reason, and those requests go on waiting. */
function oneAtATime(request: number): Refusal {
  const one = example(`/cancel ${request} reason=cloud`, { request, reason: "cloud" });
  return new Offer("one-at-a-time", [
    say`By number, one request at a time: type ${one}, for example; ${SEVERAL} cancel several at once.`,
  ]);
}

function cancelledReply(
  ask: CancelAsk,
  cancelId: string,
  numbers: readonly number[],
  atUnixMs: number,
): Reply {
  const { desk, config, clock } = ask.services;
  const until = undoneUntil(atUnixMs, ask.services);
  const onWatch = clock.speed > 1 ? `, ${duration(onTheWatch(until - atUnixMs, clock))} on your watch` : "";
  const { undoSeconds } = config.notices;
  const { taken, requests } = desk.state;
  const only = numbers.length === 1 ? requestOf(desk.state, numbers[0] as number) : null;
  const under = taken ? requests.get(taken.number) : undefined;
  const goesOn =
    only === null && under?.classId === ask.call.asker.classId
      ? [[`${label(under)} is being observed now and runs to its end.`]]
      : [];
  return {
    tone: "done",
    title: only ? `${label(only)}: cancelled` : `${count(numbers.length, "request")} cancelled`,
    lines: [
      say`${only ? "" : `${numberList(numbers)}. `}The people concerned are told once, with your reason: ${ask.values.reason}.`,
      ...goesOn,
      ...(undoSeconds > 0
        ? [say`/undo brings ${only ? "it" : "them"} back until ${clockTime(until)}${onWatch}.`]
        : []),
    ],
    ...(undoSeconds > 0
      ? {
          actions: [
            { command: "undo", options: { cancel: cancelId }, label: "Undo", onlyFor: ask.call.asker.id },
          ],
        }
      : {}),
  };
}
