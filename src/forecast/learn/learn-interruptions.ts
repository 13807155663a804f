/**
 * How often tonight's sky may close, and for how long: gamma-exponential (conjugate) updating, our own choice of
 * weights. Earlier nights say what rates nights have; tonight's own holds say which of them this night has. A hold
 * that goes on is evidence too: the longer it stands, the longer it may stay (Lomax 1954, JASA 49, 847, is the
 * distribution of a time whose rate is gamma-distributed).
 */
import { HOUR, type Millis } from "../../base/units.js";
import type { InterruptionBelief } from "./beliefs.js";
import type { Experience, Tally } from "./experience.js";

/** The configured times count as so many holds seen. */
const PRIOR_HOLDS = 2;
/** How alike nights are: the shape of the distribution of their rates. Clear and cloudy nights differ most. */
const NIGHTS_CLOSE = 1;
const NIGHTS_OPEN = 3;
/** Before any was seen: of so many holds longer than a pause, so many last for the rest of the night. */
const PRIOR_LONG_HOLDS = 4.1;
const PRIOR_FOR_GOOD = 0.1;
/** A hold that stands for longer was forgotten rather than meant. */
const LONGEST_ELAPSED: Millis = 4 * HOUR;

/** What to believe of the rest of the night. */
export function learnInterruptions(prior: InterruptionBelief, experience: Experience): InterruptionBelief {
  const { tally, tallyBefore, heldSinceUnixMs, nowUnixMs } = experience;
  const usual = usualTimes(prior, tallyBefore);
  const ended = tally.holds - tallyBefore.holds;
  const begun = ended + (heldSinceUnixMs === null ? 0 : 1);
  const elapsedMs =
    heldSinceUnixMs === null ? 0 : Math.max(0, Math.min(LONGEST_ELAPSED, nowUnixMs - heldSinceUnixMs));
  const workedMs = tally.workedMs - tallyBefore.workedMs;
  const heldMs = tally.heldMs - tallyBefore.heldMs + elapsedMs;
  const forGood = (PRIOR_FOR_GOOD + tallyBefore.holdsForGood) / (PRIOR_LONG_HOLDS + tallyBefore.longHolds);
  return {
    openMeanMs: (NIGHTS_CLOSE * usual.openMs + workedMs) / (NIGHTS_CLOSE + begun),
    openShape: NIGHTS_CLOSE + begun,
    // The mean length over the nights is that of their rates' distribution: scale over shape less one.
    closedMeanMs: ((NIGHTS_OPEN - 1) * usual.closedMs + heldMs) / (NIGHTS_OPEN + ended),
    closedShape: NIGHTS_OPEN + ended,
    openNow: heldSinceUnixMs === null,
    forGood: prior.closedMeanMs === 0 ? 0 : forGood,
    standsForGood:
      heldSinceUnixMs === null ? 0 : standsForGood(forGood, usual.closedMs, nowUnixMs - heldSinceUnixMs),
  };
}

/** Bayes' rule: a hold that would end has a heavy-tailed length (Lomax, shape 3), one for good stands for certain. */
function standsForGood(forGood: number, usualMs: Millis, elapsedMs: Millis): number {
  const wouldStand = ((2 * usualMs) / (2 * usualMs + Math.max(0, elapsedMs))) ** 3;
  return forGood / (forGood + (1 - forGood) * wouldStand);
}

function usualTimes(
  prior: InterruptionBelief,
  { holds, holdsForGood, workedMs, heldMs }: Tally,
): { readonly openMs: Millis; readonly closedMs: Millis } {
  const seen = PRIOR_HOLDS + holds;
  return {
    openMs: (prior.openMeanMs * PRIOR_HOLDS + workedMs) / seen,
    closedMs: (prior.closedMeanMs * PRIOR_HOLDS + heldMs) / (seen - holdsForGood),
  };
}
