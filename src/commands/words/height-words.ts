/** How high something stands, as it is seen: every altitude that a person is told has the air's refraction in it. */
import type { Degrees } from "../../base/units.js";
import { degrees } from "../../notices/words/amounts.js";
import { apparentAltitude } from "../../sky/airmass.js";

/**
 * "62°", "0.4°", "12° below the horizon", of a true altitude; with a decimal within a degree of a limit, so that
 * what misses the limit is not told as the limit itself.
 */
export function heightWords(trueAltitudeDegrees: Degrees, limitDegrees?: Degrees): string {
  const seen = apparentAltitude(trueAltitudeDegrees);
  if (seen < 0) return `${degrees(seen)} below the horizon`;
  const close = limitDegrees !== undefined && Math.abs(trueAltitudeDegrees - limitDegrees) < 1;
  if (!close) return degrees(seen);
  // Refraction must not lift it to a limit that it misses.
  const missed = trueAltitudeDegrees < limitDegrees;
  return `${(missed ? Math.min(seen, limitDegrees - 0.06) : seen).toFixed(1)}°`;
}

/** Whether it is seen below the horizon. */
export function isBelowHorizon(trueAltitudeDegrees: Degrees): boolean {
  return apparentAltitude(trueAltitudeDegrees) < 0;
}
