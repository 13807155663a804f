/** /resume: lifts the hold. */

import { capital } from "../../base/english.js";
import { type Phrase, say } from "../../base/phrase.js";
import { Refusal } from "../../base/refusal.js";
import { MINUTE, type UtcMillis } from "../../base/units.js";
import { duration } from "../../notices/words/amounts.js";
import { asDome } from "../../notices/words/roof.js";
import type { Call } from "../command.js";
import { defineCommand } from "../define.js";
import { Offer } from "../offer.js";
import { seenLabel } from "../people/seen.js";
import type { Services } from "../services.js";
import { startWords } from "../words/estimate-words.js";
import { example } from "../words/example.js";

export const resume = defineCommand({
  name: "resume",
  who: "operator",
  help: "Lifts the hold: requests are taken again.",
  atOnce: "The hold stands: look anew, then press again once this page is connected.",
  options: [
    {
      name: "confirm",
      kind: "text",
      help: "Where machines move by themselves: nobody is in the dome",
      maxLength: 60,
      byButton: true,
    },
  ],
  examples: ["/resume", "/resume nobody in the dome"],
  answer: async ({ call, values, services, act }) => {
    const before = services.desk.state.hold;
    const moves = services.telescope().traits.movesMachines === true;
    const { entry } = await act((state) => {
      if (state.hold) {
        const nobodyInside = isConfirmed(values.confirm && asDome(values.confirm));
        if (moves && !nobodyInside) throw askWhoIsThere();
        return [{ type: "hold.lifted", by: call.asker.id, ...(nobodyInside ? { nobodyInside } : {}) }];
      }
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

const NOBODY = "nobody in the dome";

/** @throws {Refusal} for anything but that nobody is there */
function isConfirmed(confirm: string | undefined): true | null {
  if (confirm === undefined) return null;
  if (/^(nobody|no[- ]?one|none)\b/i.test(confirm)) return true;
  throw new Refusal(
    "not-confirmed",
    `Type /resume ${NOBODY} once you have seen that it is so; the hold stands until then.`,
  );
}

/** Machines that move by themselves wait for someone who has looked. */
function askWhoIsThere(): Offer {
  const typedOut = example(`/resume ${NOBODY}`, { confirm: NOBODY });
  return new Offer(
    "who-is-there",
    [
      say`The dome and the mount move as soon as the hold is lifted. Look that nobody is in the dome or near the machines, and that trained staff have released the lock-out; then press the button, or type ${typedOut}.`,
    ],
    [
      {
        command: "resume",
        options: { confirm: NOBODY },
        label: "Nobody is in the dome: resume",
        onlyFor: null,
      },
    ],
  );
}

function nextPhrase({ asker }: Call, { forecast, desk }: Services, now: UtcMillis): Phrase {
  const next = forecast.order()[0];
  const { taken, requests } = desk.state;
  if (taken)
    return say`${capital(seenLabel(requests.get(taken.number), asker.classId))} is at the telescope and goes on.`;
  const start = next ? startWords(next, now) : null;
  if (desk.state.waiting.size === 0) return ["Nobody is waiting; the next request runs at once."];
  if (!next || !start) return ["Nothing that waits can be taken just now."];
  const name = capital(seenLabel(desk.state.requests.get(next.number), asker.classId));
  return next.next ? say`${name} is next, ${start}.` : say`${name} comes first, ${start}.`;
}
