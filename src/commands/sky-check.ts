/** Whether a wish can be observed at all from here, and from when: refused, deferred or ready. */
import { dayOf, type Phrase, say, strong } from "../base/phrase.js";
import { DEGREES_PER_RADIAN, type Degrees, SECOND, type UtcMillis } from "../base/units.js";
import { timeFrom } from "../notices/words/times.js";
import { isBright } from "../observatory/celestial-limits.js";
import { nightSkyOf } from "../observatory/night-sky.js";
import type { Observatory } from "../observatory/observatory.js";
import { limitAt, type WhyNot, whyNot, windowsOf } from "../observatory/window.js";
import { type Night, nightOf } from "../sky/night.js";
import { equatorial } from "../sky/places.js";
import type { Target } from "../sky/target.js";
import { moonInTheWayClause } from "./moon-words.js";
import { Offer } from "./offer.js";
import { sentenceName } from "./target-words.js";

/** What is seen of the sky when something is asked for. */
export interface SkyCheck {
  /** When it can first be observed: now, or later. */
  readonly opensUnixMs: UtcMillis;
  /** Why it has to wait, one sentence; null when it can be observed at once. */
  readonly warning: Phrase | null;
}

const SUN_CAUTION =
  "No telescope is ever pointed near the Sun: it destroys cameras, and eyes behind any optics.";

/**
 * Looks at the sky for a target from `fromUnixMs` on (now, or the "not before" that was asked).
 * @throws {Refusal} codes "never-up", "near-sun", "not-tonight", each with what is possible instead
 */
export function checkSky(
  target: Target,
  fromUnixMs: UtcMillis,
  now: UtcMillis,
  observatory: Observatory,
): SkyCheck {
  const obstacle = whyNot(target, fromUnixMs, observatory);
  if (obstacle === null) return { opensUnixMs: fromUnixMs, warning: null };
  const { opensUnixMs } = obstacle;
  if (obstacle.never || opensUnixMs === null) throw neverUp(target, obstacle, now, observatory);
  if (obstacle.limit === "near-sun") throw nearSun(target, obstacle, opensUnixMs);
  const tonight = nightOf(fromUnixMs, observatory.site.timeZone);
  const tomorrow = nightOf(tonight.endUnixMs, observatory.site.timeZone);
  const then = fromUnixMs > now ? "then" : "now";
  const reason = nightClause(obstacle, target, tonight, fromUnixMs, observatory, then);
  if (opensUnixMs >= tomorrow.endUnixMs) throw notTonight(target, reason, opensUnixMs);
  const opens = timeFrom(opensUnixMs, now);
  if (opensUnixMs >= tonight.endUnixMs) {
    const any = windowsOf(target, tonight, observatory).length > 0 ? " any more" : "";
    const when = say`It cannot be observed${any} tonight, but tomorrow night from ${opens}`;
    return { opensUnixMs, warning: say`${when}: ${reason}.` };
  }
  const limit = limitAt(target, opensUnixMs - SECOND, observatory);
  const clause =
    limit === "near-moon" && obstacle.limit !== limit
      ? "until then it is too near the Moon"
      : obstacleClause(obstacle, then);
  return { opensUnixMs, warning: say`It can be observed from ${opens}: ${clause}.` };
}

/**
 * "it stands at 12° now, and the limit is 20°", as a clause.
 * @param when "now", or "then" for a later instant that was asked for
 */
function obstacleClause({ limit, valueDegrees, limitDegrees }: WhyNot, when = "now"): string {
  const value = Math.abs(valueDegrees).toFixed(Math.abs(valueDegrees - limitDegrees) < 1 ? 1 : 0);
  switch (limit) {
    case "sun-up":
      return `before that it is too bright, the Sun being ${value}° ${valueDegrees < 0 ? "below" : "above"} the horizon ${when}`;
    case "below-limit":
      if (valueDegrees < 0 && valueDegrees > -0.5) return `it is just below the horizon ${when}`;
      return valueDegrees < 0
        ? `it is ${value}° below the horizon ${when}`
        : `it stands at ${value}° ${when}, and the limit is ${limitDegrees.toFixed(0)}°`;
    case "mask":
      return `it stands at ${value}° ${when}, behind trees or walls that reach ${limitDegrees.toFixed(0)}° there`;
    case "near-moon":
      return `it is ${value}° from the Moon ${when}, and the limit is ${limitDegrees.toFixed(0)}°`;
    case "near-sun":
      return `it is ${value}° from the Sun, and the limit is ${limitDegrees.toFixed(0)}°`;
    case "hour-angle":
      return `it is beyond the mount's reach from the meridian ${when}`;
    case "zenith-hole":
      return `it is too near the zenith for this mount ${when}`;
  }
}

/** The same for a night in which no window is left: what forbids it at one instant may not be what does later. */
export function nightClause(
  obstacle: WhyNot,
  target: Target,
  night: Night,
  fromUnixMs: UtcMillis,
  observatory: Observatory,
  when = "now",
): string {
  const moon = moonInTheWayClause(target, night, fromUnixMs, observatory);
  if (moon !== null) return `it is ${moon}`;
  const changes = obstacle.limit === "sun-up" || obstacle.limit === "below-limit";
  if (!changes || windowsOf(target, night, observatory).length > 0) return obstacleClause(obstacle, when);
  const { dark, dusky } = nightSkyOf(night, observatory);
  const hours = isBright(target, observatory.limits) ? dusky : dark;
  return hours.length === 0 ? "it does not get dark enough for it" : "it is not high enough while it is dark";
}

function neverUp(target: Target, obstacle: WhyNot, now: UtcMillis, observatory: Observatory): Offer {
  const name = sentenceName(target);
  const highest = culmination(target, now, observatory);
  const limit = observatory.limits.altitudeDegrees;
  const help = "Ask for something that is up: /tonight has a list.";
  if (target.kind === "fixed" && highest < limit) {
    const height =
      highest < 0
        ? "never rises here"
        : `never rises above ${highest.toFixed(limit - highest < 1 ? 1 : 0)}° here`;
    return new Offer("never-up", [say`${strong(`${name} ${height}`)}; the limit is ${limit}°. ${help}`]);
  }
  if (obstacle.limit === "near-sun") {
    return new Offer("near-sun", [
      say`${strong(`${name} cannot be observed from here within a year`)}, being too near the Sun whenever it is high enough in a dark sky. ${SUN_CAUTION} ${help}`,
    ]);
  }
  return new Offer("never-up", [
    say`${strong(`${name} can never be observed from here`)}: ${reachWords(obstacle)}. ${help}`,
  ]);
}

function reachWords({ limit }: WhyNot): string {
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

function nearSun(target: Target, obstacle: WhyNot, opensUnixMs: UtcMillis): Offer {
  const apart = obstacle.valueDegrees.toFixed(0);
  const limit = obstacle.limitDegrees.toFixed(0);
  return new Offer("near-sun", [
    say`${strong(`${sentenceName(target)} is ${apart}° from the Sun`)}, and the limit is ${limit}°; ask again from ${dayOf(opensUnixMs)}. ${SUN_CAUTION}`,
  ]);
}

function notTonight(target: Target, reason: string, opensUnixMs: UtcMillis): Offer {
  return new Offer("not-tonight", [
    say`${strong(`${sentenceName(target)} cannot be observed tonight`)}: ${reason}. It is possible from ${dayOf(opensUnixMs)}; /tonight lists what is up now.`,
  ]);
}

/** Greatest true altitude of a day, on the meridian: 90° − |φ − δ| (Meeus, Astronomical Algorithms, ch. 15). */
function culmination(target: Target, unixMs: UtcMillis, { site }: Observatory): Degrees {
  const declination = equatorial(target, unixMs, site).declinationRadians * DEGREES_PER_RADIAN;
  return 90 - Math.abs(site.latitudeDegrees - declination);
}
