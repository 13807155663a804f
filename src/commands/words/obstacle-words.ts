/** Why a target cannot be observed: at an instant, for what is left of a night, or ever. */

import { DEGREES_PER_RADIAN, type Degrees, type UtcMillis } from "../../base/units.js";
import { highestIn } from "../../observatory/highest.js";
import { nightObstacle } from "../../observatory/night-obstacle.js";
import type { Observatory } from "../../observatory/observatory.js";
import { type WhyNot, windowsOf } from "../../observatory/window.js";
import type { Night } from "../../sky/night.js";
import { equatorial } from "../../sky/place-at.js";
import type { Target } from "../../sky/target.js";
import { trackOf } from "../../sky/track.js";
import { heightWords, isBelowHorizon } from "./height-words.js";
import { sentenceName } from "./target-words.js";

/**
 * "it stands at 12° now, and the limit is 20°": what forbids a target at an instant, as a clause.
 * @param when " now", " then", or nothing where the sentence has named the time
 */
export function obstacleClause({ limit, valueDegrees, limitDegrees }: WhyNot, when: string): string {
  const value = near(valueDegrees, limitDegrees);
  const least = limitDegrees.toFixed(0);
  switch (limit) {
    case "sun-up":
      return `before that it is too bright, the Sun being ${heightWords(valueDegrees, limitDegrees)}${isBelowHorizon(valueDegrees) ? "" : " above the horizon"}${when}`;
    case "below-limit":
      return isBelowHorizon(valueDegrees)
        ? `it is ${heightWords(valueDegrees)}${when}`
        : `it stands at ${heightWords(valueDegrees, limitDegrees)}${when}, and the limit is ${least}°`;
    case "mask":
      return `it stands at ${heightWords(valueDegrees, limitDegrees)}${when}, behind trees or walls that reach ${least}° there`;
    case "near-moon":
      return `it is ${value}° from the Moon${when}, and the limit is ${least}°`;
    case "near-sun":
      return `it is ${value}° from the Sun, and the limit is ${least}°`;
    case "hour-angle":
      return `it is beyond the mount's reach from the meridian${when}`;
    case "zenith-hole":
      return `it is too near the zenith for this mount${when}`;
  }
}

/**
 * What leaves a target no time in a night after `fromUnixMs`, as a clause: "it does not get dark enough for it".
 * null where there is some, and where a window of this night is over and only the hour is to blame.
 */
export function nightClause(
  target: Target,
  night: Night,
  fromUnixMs: UtcMillis,
  observatory: Observatory,
  subject = "it",
): string | null {
  const whole = windowsOf(target, night, observatory).length === 0;
  const obstacle = nightObstacle(target, night, whole ? night.startUnixMs : fromUnixMs, observatory);
  if (obstacle === null || (!whole && obstacle.limit !== "near-moon")) return null;
  const { limit, alone, reading } = obstacle;
  const value = near(reading.valueDegrees, reading.limitDegrees);
  const least = reading.limitDegrees.toFixed(0);
  const whenever = alone ? "all night" : "whenever it is dark and high enough";
  switch (limit) {
    case "sun-up":
      return `it does not get dark enough for ${subject}`;
    case "below-limit":
      return alone
        ? lowClause(target, night, observatory, subject)
        : `${subject} is not high enough while it is dark`;
    case "mask":
      return `trees or walls hide ${subject} ${whenever}`;
    case "hour-angle":
      return `${subject} is beyond the mount's reach from the meridian ${whenever}`;
    case "zenith-hole":
      return `${subject} is too near the zenith for this mount ${whenever}`;
    case "near-sun":
      return `${subject} is ${value}° from the Sun, and the limit is ${least}°`;
    case "near-moon":
      return `${subject} is too near the Moon ${whole ? "all night" : "for the rest of the night"} (${value}°, at least ${least}° needed)`;
  }
}

/** Why no date helps. `answer` is a clause that stands alone, `reason` follows it at once. */
export function neverWords(
  target: Target,
  { limit, never }: WhyNot,
  now: UtcMillis,
  observatory: Observatory,
): { readonly answer: string; readonly reason: string; readonly bySun: boolean } {
  const name = sentenceName(target);
  const least = observatory.limits.altitudeDegrees;
  const highest = culmination(target, now, observatory);
  if (target.kind === "fixed" && highest < least) {
    const height = isBelowHorizon(highest)
      ? "never rises here"
      : `never rises above ${heightWords(highest, least)} here`;
    return { answer: `${name} ${height}`, reason: `; the limit is ${least}°`, bySun: false };
  }
  if (limit === "near-sun") {
    return never
      ? {
          answer: `${name} is never far enough from the Sun to be observed from here`,
          reason: "",
          bySun: true,
        }
      : {
          answer: `${name} cannot be observed from here within a year`,
          reason: ", being too near the Sun whenever it is high enough in a dark sky",
          bySun: true,
        };
  }
  return {
    answer: `${name} can never be observed from here`,
    reason: `: ${reachWords(limit)}`,
    bySun: false,
  };
}

function lowClause(target: Target, night: Night, observatory: Observatory, subject: string): string {
  const track = trackOf(target, night, observatory.site);
  const { altitudeDegrees } = highestIn(track, night.startUnixMs, night.endUnixMs);
  if (isBelowHorizon(altitudeDegrees)) return `${subject} stays below the horizon`;
  const { altitudeDegrees: least } = observatory.limits;
  return `${subject} rises no higher than ${heightWords(altitudeDegrees, least)}, and the limit is ${least.toFixed(0)}°`;
}

function reachWords(limit: WhyNot["limit"]): string {
  switch (limit) {
    case "mask":
      return "it never clears the trees and walls around the dome";
    case "hour-angle":
    case "zenith-hole":
      return "it never comes within the mount's reach";
    default:
      return "within a year it is never both high enough and in a dark sky";
  }
}

/** A decimal where the whole number might be that of the limit. */
function near(value: Degrees, limit: Degrees): string {
  return Math.abs(value).toFixed(Math.abs(value - limit) < 1 ? 1 : 0);
}

/** Greatest true altitude of a day, on the meridian: 90° − |φ − δ| (Meeus, Astronomical Algorithms, ch. 15). */
function culmination(target: Target, unixMs: UtcMillis, { site }: Observatory): Degrees {
  const declination = equatorial(target, unixMs, site).declinationRadians * DEGREES_PER_RADIAN;
  return 90 - Math.abs(site.latitudeDegrees - declination);
}
