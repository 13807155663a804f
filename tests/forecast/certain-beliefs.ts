/** A forecaster without doubts. */
import { DAY, MINUTE } from "../../src/base/units.js";
import { type Beliefs, priorBeliefs } from "../../src/forecast/learn/beliefs.js";
import type { Observatory } from "../../src/observatory/observatory.js";

/** Nothing is uncertain: every run is then the central run. */
export function certainBeliefs(observatory: Observatory): Beliefs {
  const settings = {
    arrivalsPerHour: 0,
    overheadScatter: 0,
    openMinutes: DAY / MINUTE,
    closedMinutes: 0,
    failureFraction: 0,
  };
  return priorBeliefs(settings, observatory);
}
