/** /join: shares a classmate's identical request instead of asking for the same frames again. */

import { button } from "../../base/button.js";
import { capital } from "../../base/english.js";
import { person, say } from "../../base/phrase.js";
import { Refusal } from "../../base/refusal.js";
import { rememberTold } from "../../estimates/told.js";
import type { NightslateEvent } from "../../journal/events.js";
import type { State } from "../../journal/state.js";
import { wishWords } from "../../notices/words/amounts.js";
import type { Asker, Call } from "../command.js";
import { defineCommand } from "../define.js";
import { isMine, joining } from "../people/people.js";
import { isActive, label, requestOf } from "../read/read-request.js";
import type { Services } from "../services.js";
import { placeWords, startSentence } from "../words/estimate-words.js";
import { example } from "../words/example.js";

export const join = defineCommand({
  name: "join",
  who: "student",
  help: "Shares a classmate's request: you both get the frames, the queue gets no longer.",
  options: [
    {
      name: "request",
      kind: "request",
      required: true,
      help: "Its number",
      offer: "all-active",
      ofOthers: true,
    },
  ],
  examples: ["/join 12"],
  answer: async ({ call, values, services, act }) => {
    await act((state) => decide(values.request, call, state, services));
    const request = requestOf(services.desk.state, values.request);
    const estimate = services.forecast.estimate(request.number);
    if (estimate) rememberTold([estimate], services);
    return {
      tone: estimate?.place === null && estimate.noTurn?.why !== "hold" ? "warning" : "done",
      title: `${label(request)}: joined${estimate ? `, ${placeWords(estimate)}` : ""}`,
      lines: [
        ...(estimate ? [startSentence(estimate, request, services)] : []),
        say`${capital(wishWords(request))}, shared with ${person(request.owner)}. You are told when it is done; ${example(`/withdraw ${request.number}`, { request: request.number })} leaves it.`,
      ],
      actions: [
        button("When?", "when", { request: request.number }, call.asker.id),
        button("Leave it", "withdraw", { request: request.number }, call.asker.id),
      ],
    };
  },
});

function decide(
  number: number,
  { asker, from }: Call,
  state: State,
  { config }: Services,
): NightslateEvent[] {
  const request = requestOf(state, number);
  refuseForeign(number, request.classId, asker);
  if (isMine(request, asker.id)) {
    throw new Refusal(
      "yours-already",
      `${label(request)} is yours already; /when ${number} tells when it runs.`,
    );
  }
  if (!isActive(request)) {
    throw new Refusal(
      "not-waiting",
      `${label(request)} is ${request.state}, so it cannot be joined. Ask for your own with /request ${request.target.id}.`,
    );
  }
  const known = joining(state, asker, from, config);
  const joined: NightslateEvent = { type: "request.joined", number, personId: asker.id };
  return known ? [known, joined] : [joined];
}

function refuseForeign(number: number, classId: string, asker: Asker): void {
  if (classId === asker.classId) return;
  throw new Refusal(
    "other-class",
    `#${number} belongs to another class and cannot be joined. Type /queue to see what your class asked for.`,
  );
}
