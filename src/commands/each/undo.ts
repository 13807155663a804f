/** /undo: takes a cancellation back while that is still possible. */

import { count } from "../../base/english.js";
import { say } from "../../base/phrase.js";
import { Refusal } from "../../base/refusal.js";
import type { UtcMillis } from "../../base/units.js";
import type { NightslateEvent } from "../../journal/events.js";
import type { CancelState, State } from "../../journal/state.js";
import { duration, numberList } from "../../notices/words/amounts.js";
import { type Ask, defineCommand, type Values } from "../define.js";
import { onTheWatch, undoneUntil } from "../undo-window.js";

const OPTIONS = [
  { name: "cancel", kind: "text", help: "Which cancellation; the latest when left out", maxLength: 20 },
] as const;

type UndoAsk = Ask<Values<typeof OPTIONS>>;

export const undo = defineCommand({
  name: "undo",
  who: "instructor",
  help: "Takes your class's latest cancellation back, shortly after it was made.",
  options: OPTIONS,
  examples: ["/undo"],
  answer: async (ask) => {
    const { entry } = await ask.act((state, now) => [decide(ask, state, now)]);
    const event = entry?.events.find((each) => each.type === "cancel.undone");
    const numbers = event?.numbers ?? [];
    return {
      tone: "done",
      title: `${count(numbers.length, "request")} restored`,
      lines: [
        say`${numberList(numbers)} ${numbers.length === 1 ? "waits" : "wait"} again, with number and time of asking kept; the owners are told.`,
      ],
    };
  },
});

function decide({ call, values, services }: UndoAsk, state: State, now: UtcMillis): NightslateEvent {
  const cancel = chosen(values.cancel, call.asker.classId, state);
  const until = undoneUntil(cancel.atUnixMs, services);
  if (now > until) {
    const [ago, could] = [now, until].map((unixMs) =>
      duration(onTheWatch(unixMs - cancel.atUnixMs, services.clock)),
    );
    throw new Refusal(
      "too-late",
      `That cancellation was ${ago} ago and could be undone for ${could}; the people concerned can ask again with /request.`,
    );
  }
  const numbers = cancel.numbers.filter((number) => state.requests.get(number)?.state === "cancelled");
  return { type: "cancel.undone", cancelId: cancel.cancelId, numbers, by: call.asker.id };
}

function chosen(cancelId: string | undefined, classId: string, state: State): CancelState {
  const own = [...state.cancels.values()].filter(
    (each) => state.requests.get(each.numbers[0] ?? 0)?.classId === classId,
  );
  const found =
    cancelId === undefined ? own.at(-1) : own.find((each) => each.cancelId === cancelId.toLowerCase());
  if (found) return found;
  throw new Refusal(
    "nothing-to-undo",
    "There is no cancellation of your class that can still be undone; the people concerned can ask again with /request.",
  );
}
