/** /forget: removes a person's own data, as far as the record of the class allows. */

import { capital, count } from "../../base/english.js";
import { type Phrase, say } from "../../base/phrase.js";
import type { NightslateEvent } from "../../journal/events.js";
import type { State } from "../../journal/state.js";
import type { PersonId } from "../../queue/request.js";
import { defineCommand } from "../define.js";
import type { Reply } from "../reply.js";
import { example } from "../words/example.js";

export const forget = defineCommand({
  name: "forget",
  who: "student",
  help: "Removes your name, notes and choices; says first what goes and what stays.",
  options: [{ name: "confirm", kind: "choice", choices: ["yes"], help: "Do it; cannot be undone" }],
  examples: ["/forget", "/forget confirm"],
  answer: async ({ call, values, services, act }) => {
    const { desk, config } = services;
    const { id } = call.asker;
    if (values.confirm !== "yes") return explained(desk.state, id, config.keepDays);
    const waiting = waitingOf(desk.state, id).length;
    await act((state) => [...leaving(state, id), { type: "person.forgotten", personId: id }]);
    return {
      tone: "done",
      title: "Forgotten",
      lines: [
        [
          `Your name, notes and choices are removed${waiting > 0 ? `, and ${count(waiting, "request")} of yours withdrawn` : ""}.`,
        ],
        [stays(config.keepDays)],
      ],
    };
  },
});

function explained(state: State, id: PersonId, keepDays: number): Reply {
  const waiting = waitingOf(state, id).length;
  const lines: Phrase[] = [
    [
      "Your name, your notes and how you like to be told are removed, and you are no longer told of anything.",
    ],
    ...(waiting > 0
      ? [
          [
            `${capital(count(waiting, "request"))} of yours ${waiting === 1 ? "is" : "are"} withdrawn; those that classmates share go on for them.`,
          ],
        ]
      : []),
    [stays(keepDays)],
    say`It cannot be undone. Type ${example("/forget confirm", { confirm: "yes" })} to do it.`,
  ];
  return {
    tone: "warning",
    title: "This is what would be removed",
    lines,
    actions: [{ command: "forget", options: { confirm: "yes" }, label: "Forget me", onlyFor: id }],
  };
}

/** Kept because the class's record, and other people's, would be wrong without it. */
function stays(keepDays: number): string {
  return `What stays, without your name, is the record of requests (number, target, times, outcome, account) and the frames; entries older than ${count(keepDays, "day")} are removed. Ask your school about its own copies.`;
}

function leaving(state: State, id: PersonId): NightslateEvent[] {
  const shared = [...state.requests.values()].filter(
    (each) => each.sharers.includes(id) && (each.state === "waiting" || each.state === "taken"),
  );
  const own = waitingOf(state, id);
  return [
    ...shared.map(({ number }): NightslateEvent => ({ type: "request.left", number, personId: id })),
    ...own.map(
      ({ number, sharers }): NightslateEvent =>
        sharers.length > 0
          ? { type: "request.left", number, personId: id }
          : { type: "request.withdrawn", number },
    ),
  ];
}

function waitingOf(state: State, id: PersonId) {
  return [...state.waiting]
    .flatMap((number) => state.requests.get(number) ?? [])
    .filter((each) => each.owner === id);
}
