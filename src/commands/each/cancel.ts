/** /cancel: staff end requests of their class, one or many, with a reason; one announcement, undone within minutes. */

import type { Button } from "../../base/button.js";
import { count } from "../../base/english.js";
import { clockTime, say, typed } from "../../base/phrase.js";
import { Refusal } from "../../base/refusal.js";
import type { NightslateEvent } from "../../journal/events.js";
import type { State } from "../../journal/state.js";
import { duration, numberList } from "../../notices/words/amounts.js";
import { timeFrom } from "../../notices/words/times.js";
import type { Request } from "../../queue/request.js";
import { cancelEvent } from "../cancelling.js";
import { type Ask, defineCommand, type Values } from "../define.js";
import { Offer } from "../offer.js";
import { seenLabel } from "../people/seen.js";
import { chooseRequests, splitReason } from "../read/chosen-requests.js";
import { label, requestOf } from "../read/read-request.js";
import type { Reply } from "../reply.js";
import { onTheWatch, undoneUntil } from "../undo-window.js";
import { example } from "../words/example.js";

const OPTIONS = [
  {
    name: "request",
    kind: "request",
    help: "One request, by number",
    offer: "all-active",
    ofOthers: true,
  },
  { name: "person", kind: "person", named: true, help: "All that this person has waiting" },
  { name: "target", kind: "target", named: true, help: "All that wait for this target" },
  {
    name: "group",
    kind: "text",
    named: true,
    help: "All that this group has waiting",
    maxLength: 40,
    completes: "groups",
  },
  {
    name: "all",
    kind: "choice",
    choices: ["yes"],
    help: "Everything your class has waiting",
  },
  {
    name: "when",
    kind: "choice",
    choices: ["now", "at-its-end"],
    help: "Of the one being observed: stopped now, or left to run to its end",
  },
  { name: "reason", kind: "text", required: true, help: "Why; the people affected are told", maxLength: 200 },
] as const;

type CancelAsk = Ask<Values<typeof OPTIONS>>;

export const cancel = defineCommand({
  name: "cancel",
  who: "operator",
  help: "Stops what is being observed, or cancels what your class has waiting; undone for a short while.",
  atOnce: "Use the stop at the telescope.",
  otherwise: "To take back your own, type /withdraw and its number.",
  options: OPTIONS,
  examples: [
    "/cancel 12 reason=cloud coming in",
    "/cancel now wind is rising",
    "/cancel all clouds",
    "/cancel target=M13 below the trees",
    "/cancel person=mira reason=asked to",
    "/cancel group=Alder reason=class is over",
  ],
  prepare: (raw, { catalogue }) => splitReason(raw, catalogue),
  answer: async (ask) => {
    if (ask.values.when === "at-its-end") return leftToRun(ask);
    let goesOn: Request | null = null;
    const { entry } = await ask.act((state) => {
      const decided = decide(ask, state);
      goesOn = decided.goesOn;
      return [decided.event];
    });
    const event = entry?.events.find((each) => each.type === "requests.cancelled");
    const told = { cancelId: event?.cancelId ?? "", numbers: event?.numbers ?? [], goesOn };
    return cancelledReply(ask, told, entry?.atUnixMs ?? ask.now);
  },
});

interface Decided {
  readonly event: NightslateEvent;
  /** Of what was chosen, the one that is being observed: it is not cancelled with the others. */
  readonly goesOn: Request | null;
}

function decide(ask: CancelAsk, state: State): Decided {
  const { call, values, services } = ask;
  const { reason, request, person, target, group, all, when } = values;
  if (request !== undefined && /^(and |, ?)?#?\d+\b/.test(reason)) throw oneAtATime(request);
  const others = [person, target, group, all].some((each) => each !== undefined);
  const under = when === "now" && !others ? underWayNow(request, state) : null;
  if (under !== null)
    return { event: cancelEvent(state, [under.number], reason, call.asker.id), goesOn: null };
  if (request !== undefined && state.taken?.number === request) throw nowOrAtItsEnd(ask, request, state);
  if (call.asker.role === "operator") throw notTheOperators();
  const chosen = chooseRequests({ request, person, target, group, all }, call.asker, state, services);
  const numbers = chosen.requests.map((each) => each.number);
  if (numbers.length === 0 && chosen.underWay) throw nowOrAtItsEnd(ask, chosen.underWay.number, state);
  return { event: cancelEvent(state, numbers, reason, call.asker.id), goesOn: chosen.underWay ?? null };
}

/** Of whatever class: whoever is at the telescope may have to stop it. null when a number is given that waits. */
function underWayNow(number: number | undefined, state: State): Request | null {
  const under = state.taken && (number === undefined || number === state.taken.number);
  if (under) return requestOf(state, state.taken.number);
  if (number !== undefined) return null;
  throw new Refusal(
    "nothing-under-way",
    "Nothing is being observed, so there is nothing to stop. /hold keeps the next from being taken.",
  );
}

/** A button that ends the one under way now, or lets it run. */
function press({ call, values }: CancelAsk, number: number, when: string, label: string): Button {
  const options = { request: number, when, reason: values.reason };
  return { command: "cancel", options, label, onlyFor: call.asker.id };
}

function nowOrAtItsEnd(ask: CancelAsk, number: number, state: State): Refusal {
  const { call, services, now } = ask;
  const until = timeFrom(Math.max(now, state.taken?.freeUnixMs ?? now), now);
  const name = seenLabel(services.desk.state.requests.get(number), call.asker.classId);
  return new Offer(
    "under-way",
    [say`${name} is being observed now, until about ${until}: stop it now, or let it run to its end?`],
    [press(ask, number, "now", "Stop it now"), press(ask, number, "at-its-end", "Let it run")],
  );
}

function leftToRun({ call, values, services, now }: CancelAsk): Reply {
  const { taken, requests } = services.desk.state;
  const { request } = values;
  if (!taken || (request !== undefined && request !== taken.number))
    throw new Refusal("nothing-under-way", "That is not being observed now; /queue shows what is.");
  const name = seenLabel(requests.get(taken.number), call.asker.classId);
  const until = timeFrom(Math.max(now, taken.freeUnixMs), now);
  return {
    tone: "done",
    title: `${name} runs to its end`,
    lines: [say`It is done about ${until}; nothing was cancelled.`],
  };
}

function notTheOperators(): Refusal {
  return new Refusal(
    "not-allowed",
    "Only an instructor can cancel what waits; /cancel now stops what is being observed, and /hold keeps the next from being taken.",
  );
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
  { cancelId, numbers, goesOn }: Pick<Decided, "goesOn"> & { cancelId: string; numbers: readonly number[] },
  atUnixMs: number,
): Reply {
  const { desk, config, clock } = ask.services;
  const until = undoneUntil(atUnixMs, ask.services);
  const onWatch = clock.speed > 1 ? `, ${duration(onTheWatch(until - atUnixMs, clock))} on your watch` : "";
  const { undoSeconds } = config.notices;
  const only = numbers.length === 1 ? requestOf(desk.state, numbers[0] as number) : null;
  const stopped = only !== null && only.takenUnixMs !== null;
  const stopToo = goesOn ? [press(ask, goesOn.number, "now", `Stop #${goesOn.number} too`)] : [];
  const undo = { command: "undo", options: { cancel: cancelId }, label: "Undo", onlyFor: ask.call.asker.id };
  return {
    tone: "done",
    title: only
      ? `${seenLabel(only, ask.call.asker.classId)}: ${stopped ? "stopped" : "cancelled"}`
      : `${count(numbers.length, "request")} cancelled`,
    lines: [
      say`${only ? "" : `${numberList(numbers)}. `}The people concerned are told once, with your reason: ${ask.values.reason}.`,
      ...(goesOn
        ? [[`${label(goesOn)} is being observed now and runs to its end, unless you stop it.`]]
        : []),
      ...(undoSeconds > 0
        ? [say`/undo brings ${only ? "it" : "them"} back until ${clockTime(until)}${onWatch}.`]
        : []),
    ],
    actions: [...stopToo, ...(undoSeconds > 0 ? [undo] : [])],
  };
}
