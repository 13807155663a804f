/** /wait: has one's own request wait until its target stands highest tonight, or takes that back. */

import { button } from "../../base/button.js";
import { Refusal } from "../../base/refusal.js";
import type { UtcMillis } from "../../base/units.js";
import type { Config } from "../../config/config.js";
import { rememberTold } from "../../estimates/told.js";
import type { NightslateEvent } from "../../journal/events.js";
import type { State } from "../../journal/state.js";
import type { Request } from "../../queue/request.js";
import type { Asker } from "../command.js";
import { defineCommand } from "../define.js";
import { isMine } from "../people/people.js";
import { bestFor, worthTheWait } from "../plan/best-wait.js";
import { label, requestOf } from "../read/read-request.js";
import type { Reply } from "../reply.js";
import type { Present } from "../services.js";
import { bestSentence } from "../words/best-words.js";
import { placeWords, startLines } from "../words/estimate-words.js";

export const wait = defineCommand({
  name: "wait",
  who: "student",
  help: "Has your request wait until its target stands highest tonight; now takes that back.",
  options: [
    { name: "request", kind: "request", required: true, help: "Its number", offer: "own-waiting" },
    { name: "until", kind: "choice", choices: ["best", "now"], help: "best, or now to wait no longer" },
  ],
  examples: ["/wait 12", "/wait 12 now"],
  answer: async ({ call, values, services, act }) => {
    const { request, until = "best" } = values;
    await act((state, now) => [decide(request, until, call.asker, state, services.config, now)]);
    return answerFor(requestOf(services.desk.state, request), call.asker, {
      ...services,
      now: services.clock.now(),
    });
  },
});

function decide(
  number: number,
  until: "best" | "now",
  asker: Asker,
  state: State,
  config: Config,
  now: UtcMillis,
): NightslateEvent {
  const request = requestOf(state, number);
  if (!isMine(request, asker.id))
    throw new Refusal(
      "not-yours",
      `#${number} is not yours, so you cannot have it wait. Type /mine to see yours.`,
    );
  if (request.state !== "waiting")
    throw new Refusal(
      "not-waiting",
      `${label(request)} is ${request.state} already. Type /mine to see what waits.`,
    );
  const before = request.best ? request.best.notBeforeUnixMs : request.notBeforeUnixMs;
  if (until === "now")
    return { type: "request.earliest", number, notBeforeUnixMs: before, best: null, because: "asked" };
  const best = bestFor(request, Math.max(now, before ?? now), now, config.observatory);
  if (best === null || !worthTheWait(best, Math.max(now, before ?? now)))
    throw new Refusal(
      "no-better",
      `${label(request)} stands no better later tonight, so there is nothing to wait for; it keeps its place.`,
    );
  const notBeforeUnixMs = best.startUnixMs;
  return {
    type: "request.earliest",
    number,
    notBeforeUnixMs,
    best: { notBeforeUnixMs: before },
    because: "asked",
  };
}

function answerFor(request: Request, asker: Asker, present: Present): Reply {
  const estimate = present.forecast.estimate(request.number);
  if (estimate) rememberTold([estimate], present);
  const waits = request.best != null;
  const options = { request: request.number, ...(waits ? { until: "now" } : {}) };
  return {
    tone: "done",
    title: `${label(request)}: ${waits ? "waits for its best" : "waits no longer"}${estimate ? `, ${placeWords(estimate)}` : ""}`,
    lines: [
      ...(estimate ? startLines(estimate, request, present) : []),
      ...(waits ? [bestSentence(request, estimate, present) ?? []] : []),
    ],
    actions: [button(waits ? "As soon as it can be" : "Wait for its best", "wait", options, asker.id)],
  };
}
