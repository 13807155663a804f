/** /withdraw: takes back one's own request, or leaves one that is shared. */

import { count } from "../../base/english.js";
import { say } from "../../base/phrase.js";
import { Refusal } from "../../base/refusal.js";
import type { NightslateEvent } from "../../journal/events.js";
import type { State } from "../../journal/state.js";
import type { Request } from "../../queue/request.js";
import type { Asker } from "../command.js";
import { defineCommand } from "../define.js";
import { isMine } from "../people/people.js";
import { isActive, label, requestOf } from "../read/read-request.js";
import type { Reply } from "../reply.js";

export const withdraw = defineCommand({
  name: "withdraw",
  who: "student",
  help: "Takes back your own request; one that classmates share goes on for them.",
  options: [{ name: "request", kind: "request", required: true, help: "Its number", offer: "own-waiting" }],
  examples: ["/withdraw 12"],
  answer: async ({ call, values, services }) => {
    const { desk } = services;
    const before = requestOf(desk.state, values.request);
    const { entry } = await desk.act((state) => [decide(values.request, call.asker, state)], {
      by: call.asker.id,
      onceKey: call.onceKey,
    });
    return entry?.events[0]?.type === "request.left" ? leftReply(before) : withdrawnReply(before);
  },
});

function decide(number: number, asker: Asker, state: State): NightslateEvent {
  const request = requestOf(state, number);
  if (!isMine(request, asker.id)) {
    throw new Refusal(
      "not-yours",
      `#${number} is not yours, so it cannot be withdrawn by you. Type /mine to see yours.`,
    );
  }
  const isShared = request.sharers.length > 0;
  if (!isActive(request)) {
    throw new Refusal(
      "not-waiting",
      `${label(request)} is ${request.state} already, so there is nothing to withdraw. Type /mine to see what waits.`,
    );
  }
  if (isShared) return { type: "request.left", number, personId: asker.id };
  return { type: "request.withdrawn", number };
}

function withdrawnReply(request: Request): Reply {
  return {
    tone: "done",
    title: `${label(request)}: withdrawn`,
    lines: [
      request.state === "taken"
        ? ["It was being observed and is stopped now. Ask again with /request when you like."]
        : ["It is out of the queue. Ask again with /request when you like."],
    ],
  };
}

function leftReply(request: Request): Reply {
  const others = request.sharers.length;
  return {
    tone: "done",
    title: `${label(request)}: you are out`,
    lines: [
      say`It goes on for the ${count(others, "classmate")} who ${others === 1 ? "shares" : "share"} it; nobody loses a place.`,
    ],
  };
}
