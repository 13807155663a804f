/** /resume: lifts the hold. */

import { capital } from "../../base/english.js";
import { type Phrase, say } from "../../base/phrase.js";
import { Refusal } from "../../base/refusal.js";
import { MINUTE, type UtcMillis } from "../../base/units.js";
import { duration } from "../../notices/words/amounts.js";
import type { Call } from "../command.js";
import { defineCommand } from "../define.js";
import { seenLabel } from "../people/seen.js";
import type { Services } from "../services.js";
import { startWords } from "../words/estimate-words.js";

export const resume = defineCommand({
  name: "resume",
  who: "operator",
  help: "Lifts the hold: requests are taken again.",
  options: [],
  examples: ["/resume"],
  answer: async ({ call, services, act }) => {
    const before = services.desk.state.hold;
    const { entry } = await act((state) => {
      if (state.hold) return [{ type: "hold.lifted", by: call.asker.id }];
      throw new Refusal(
        "no-hold",
        "There is no hold to lift; requests are being taken. /hold and a reason places one.",
      );
    });
    const now = entry?.atUnixMs ?? services.clock.now();
    const length =
      before && now - before.sinceUnixMs >= MINUTE ? ` after ${duration(now - before.sinceUnixMs)}` : "";
    return {
      tone: "done",
      title: `The hold is lifted${length}`,
      lines: [
        nextPhrase(call, services, now),
        [
          "The dome and the mount may move at any moment: be sure that nobody is near them and that trained staff have released the lock-out.",
        ],
      ],
    };
  },
});

function nextPhrase({ asker }: Call, { forecast, desk }: Services, now: UtcMillis): Phrase {
  const next = forecast.order()[0];
  const start = next ? startWords(next, now) : null;
  if (desk.state.waiting.size === 0) return ["Nobody is waiting; the next request runs at once."];
  if (!next || !start) return ["Nothing that waits can be taken just now."];
  return say`${capital(seenLabel(desk.state.requests.get(next.number), asker.classId))} is next, ${start}.`;
}
