/** /return: puts a request that failed, or brought no usable frame, back into the queue, with its number and time of asking. */
import { Refusal } from "../../base/refusal.js";
import type { NightslateEvent } from "../../journal/events.js";
import type { State } from "../../journal/state.js";
import { hasUsableFrame } from "../../journal/usable-frames.js";
import type { Asker } from "../command.js";
import { defineCommand } from "../define.js";
import { label, requestOf } from "../read/read-request.js";
import { placeWords, startSentence } from "../words/estimate-words.js";

const WITHOUT_REASON = "the instructor put it back";

export const giveBack = defineCommand({
  name: "return",
  who: "instructor",
  help: "Puts a request that failed or brought no usable frame back; it keeps number and time of asking.",
  otherwise: "Ask again with /request, or ask your instructor to put it back.",
  options: [
    { name: "request", kind: "request", required: true, help: "Its number", ofOthers: true },
    { name: "reason", kind: "text", required: false, help: "Why; its owner is told", maxLength: 200 },
  ],
  examples: ["/return 12", "/return 12 camera works again"],
  answer: async ({ call, values, services }) => {
    await services.desk.act(
      (state) => [decide(values.request, values.reason ?? WITHOUT_REASON, call.asker, state)],
      { by: call.asker.id, onceKey: call.onceKey },
    );
    const request = requestOf(services.desk.state, values.request);
    const estimate = services.forecast.estimate(request.number);
    return {
      tone: "done",
      title: `${label(request)}: back in the queue${estimate ? `, ${placeWords(estimate)}` : ""}`,
      lines: [...(estimate ? [startSentence(estimate, request, services)] : []), ["Its owner is told."]],
    };
  },
});

function decide(number: number, reason: string, asker: Asker, state: State): NightslateEvent {
  const request = requestOf(state, number);
  if (request.classId !== asker.classId) {
    throw new Refusal(
      "other-class",
      `#${number} belongs to another class; only its own staff can put it back.`,
    );
  }
  if (request.state === "completed" && hasUsableFrame(state.frames.get(number) ?? [])) {
    throw new Refusal(
      "has-frames",
      `${label(request)} is completed and has usable frames; only a request that failed or brought none can be put back. Its owner can ask again with /request.`,
    );
  }
  if (request.state !== "failed" && request.state !== "completed") {
    throw new Refusal(
      "not-failed",
      `${label(request)} is ${request.state}; only a request that failed or brought no usable frame can be put back. Its owner can ask again with /request.`,
    );
  }
  return { type: "request.returned", number, reason, by: asker.id };
}
