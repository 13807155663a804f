/** From what has happened so far to what is believed of the rest of the night. */
import { HOUR, type Millis } from "../../base/units.js";
import type { Beliefs } from "./beliefs.js";
import type { Experience } from "./experience.js";
import { learnArrivals } from "./learn-arrivals.js";
import { learnInterruptions } from "./learn-interruptions.js";
import { learnOverheads } from "./learn-overheads.js";

/** The prior counts as so many actions and hours of waiting seen. */
const PRIOR_ATTEMPTS = 50;
const PRIOR_WAITED_HOURS = 20;
/** Until it is seen, of those who wait one in twenty is believed to give up in an hour. */
const PRIOR_WITHDRAWN = 0.05 * PRIOR_WAITED_HOURS;
/** A request that waits for longer has been put off by the season, not by the queue. */
const LONGEST_WAIT: Millis = 12 * HOUR;

/** What to believe now. Each rate is a mean of what was expected and what was seen, by weight of evidence. */
export function learnBeliefs(prior: Beliefs, experience: Experience): Beliefs {
  const { tally, measured } = experience;
  return {
    overheads: learnOverheads(measured, prior.overheads),
    interruptions: learnInterruptions(prior.interruptions, experience),
    configuredPerHour: prior.configuredPerHour,
    arrivals: learnArrivals(prior.arrivals, prior.configuredPerHour, experience),
    failureFraction:
      (prior.failureFraction * PRIOR_ATTEMPTS + tally.recentFailures) /
      (PRIOR_ATTEMPTS + tally.recentAttempts),
    withdrawalsPerHour: withdrawals(experience),
  };
}

function withdrawals({ requests, nowUnixMs }: Experience): number {
  let withdrawn = 0;
  let waitedMs = 0;
  for (const { state, askedUnixMs, takenUnixMs, endedUnixMs } of requests) {
    const until = takenUnixMs ?? endedUnixMs ?? nowUnixMs;
    waitedMs += Math.min(LONGEST_WAIT, Math.max(0, until - askedUnixMs));
    if (state === "withdrawn") withdrawn++;
  }
  return (PRIOR_WITHDRAWN + withdrawn) / (PRIOR_WAITED_HOURS + waitedMs / HOUR);
}
