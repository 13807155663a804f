/** From what has happened so far to what is believed of the rest of the night. */
import { HOUR, type Millis } from "../../base/units.js";
import type { Beliefs } from "./beliefs.js";
import type { Experience } from "./experience.js";
import { learnArrivals } from "./learn-arrivals.js";
import { learnInterruptions } from "./learn-interruptions.js";
import { learnOverheads } from "./learn-overheads.js";

/** The prior counts as so many actions and hours of waiting seen. */
const PRIOR_ATTEMPTS = 50;
const PRIOR_WAITED_HOURS = 50;
/** A request that waits for longer has been put off by the season, not by the queue. */
const LONGEST_WAIT: Millis = 12 * HOUR;

/** What to believe now. Each rate is a mean of what was expected and what was seen, by weight of evidence. */
export function learnBeliefs(prior: Beliefs, experience: Experience): Beliefs {
  const { tally, measured } = experience;
  return {
    overheads: learnOverheads(measured, prior.overheads),
    interruptions: learnInterruptions(prior.interruptions, experience),
    arrivals: learnArrivals(prior.arrivals, experience),
    failureFraction:
      (prior.failureFraction * PRIOR_ATTEMPTS + tally.failures) / (PRIOR_ATTEMPTS + tally.attempts),
    withdrawalsPerHour: withdrawals(prior.withdrawalsPerHour, experience),
  };
}

function withdrawals(priorPerHour: number, { requests, nowUnixMs }: Experience): number {
  let withdrawn = 0;
  let waitedMs = 0;
  for (const { state, askedUnixMs, takenUnixMs, endedUnixMs } of requests) {
    const until = takenUnixMs ?? endedUnixMs ?? nowUnixMs;
    waitedMs += Math.min(LONGEST_WAIT, Math.max(0, until - askedUnixMs));
    if (state === "withdrawn") withdrawn++;
  }
  return (priorPerHour * PRIOR_WAITED_HOURS + withdrawn) / (PRIOR_WAITED_HOURS + waitedMs / HOUR);
}
