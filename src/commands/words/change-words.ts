/** What could still move an estimate: by the ordering rule, and by what the request itself waits for. */

import { listed } from "../../base/english.js";
import { type Phrase, say } from "../../base/phrase.js";
import type { Estimate } from "../../estimates/forecast-service.js";
import { heldBy } from "../../journal/held-by.js";
import { timeFrom } from "../../notices/words/times.js";
import type { Request, RuleName } from "../../queue/request.js";
import type { Present } from "../services.js";
import { isTooShort } from "./no-turn-words.js";
import { startsAtItsTime } from "./wait-words.js";

/** One sentence; null where nothing could, or where the estimate itself has said it. */
export function changeSentence(estimate: Estimate, request: Request, present: Present): Phrase | null {
  const { desk, config, now } = present;
  if (estimate.turn === null) return turnSentence(estimate, request, present);
  const rule = desk.state.rule ?? config.queue.rule;
  const overtaking = OVERTAKING[rule];
  const delays = `${delaysFor(request, present)} can delay it.`;
  const { notBeforeUnixMs } = estimate;
  // Under first-come a wait of minutes matters hours later: whoever asks meanwhile may run meanwhile.
  if (notBeforeUnixMs !== undefined && (startsAtItsTime(estimate) || rule === "first-come"))
    return say`Others can run while it waits for ${timeFrom(notBeforeUnixMs, now)}; after that ${overtaking} ${delays}`;
  return [`${overtaking.charAt(0).toUpperCase()}${overtaking.slice(1)} ${delays}`];
}

/** Who may come first, as a clause, with its joint to what can delay. */
const OVERTAKING: Readonly<Record<RuleName, string>> = {
  "highest-first": "a later request for a higher target may overtake it, and",
  "first-come": "nobody who asks later in the same tier overtakes it, but",
  "setting-first": "a later request for a target that sets sooner may overtake it, and",
  "one-each": "someone who has had fewer turns tonight may overtake it, and",
  planned: "the plan takes in every new request, and",
};

function delaysFor({ tier }: Request, { config, desk }: Present): string {
  const hold = desk.state.hold === null ? "a hold" : "a longer hold";
  const tiers = config.tiers.slice(0, tier);
  return listed(["cloud", hold, ...(tiers.length > 0 ? [`a ${listed(tiers, "or")} request`] : [])], "or");
}

/** What could give a turn to a request that has none. */
function turnSentence({ noTurn, notThisWeek }: Estimate, request: Request, present: Present): Phrase | null {
  switch (noTurn?.why) {
    case "hold":
      return heldSentence(request, present);
    case "no-time":
      if (!isTooShort(request, present))
        return ["It runs tonight if enough of the others are withdrawn, or done sooner than planned."];
      return notThisWeek ? null : ["Fewer or shorter frames could fit tonight: withdraw it and ask again."];
    default:
      return null;
  }
}

function heldSentence({ number }: Request, { desk, forecast }: Present): Phrase | null {
  const { hold } = desk.state;
  const machines = heldBy(desk.state);
  if (forecast.ifLifted().withoutTurn.has(number)) return null;
  if (machines === "dome-kept-shut") return ["It gets a time when the dome is released."];
  if (machines === "no-room") return ["It gets a time when there is room on the disk."];
  if (machines !== null) return ["It gets a time when the fault is mended."];
  return [
    hold?.untilUnixMs ? "It can run tonight if staff resume sooner." : "It gets a time when staff resume.",
  ];
}
