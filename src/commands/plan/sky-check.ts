/** Whether a wish can be observed at all from here, and from when: refused, deferred or ready. */
import { dayOf, type Phrase, say, strong } from "../../base/phrase.js";
import { Refusal } from "../../base/refusal.js";
import { SECOND, type UtcMillis } from "../../base/units.js";
import { timeFrom } from "../../notices/words/times.js";
import type { Observatory } from "../../observatory/observatory.js";
import { limitAt, type WhyNot, whyNot, windowsOf } from "../../observatory/window.js";
import { type Night, nightOf } from "../../sky/night.js";
import type { Target } from "../../sky/target.js";
import { Offer } from "../offer.js";
import { neverWords, nightClause, obstacleClause } from "../words/obstacle-words.js";
import { oldElementsWords } from "../words/orbit-words.js";
import { sentenceName } from "../words/target-words.js";
import { openingClause } from "../words/wait-words.js";

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
 * @throws {Refusal} codes "never-up", "near-sun", "not-tonight", "old-elements", each with what is possible instead
 */
export function checkSky(
  target: Target,
  fromUnixMs: UtcMillis,
  now: UtcMillis,
  observatory: Observatory,
): SkyCheck {
  const old = oldElementsWords(target, fromUnixMs, observatory);
  if (old !== null) throw new Refusal("old-elements", `${old}.`);
  const obstacle = whyNot(target, fromUnixMs, observatory);
  if (obstacle === null) return { opensUnixMs: fromUnixMs, warning: null };
  const { opensUnixMs } = obstacle;
  if (obstacle.never || opensUnixMs === null) throw neverUp(target, obstacle, now, observatory);
  if (obstacle.limit === "near-sun") throw nearSun(target, obstacle, opensUnixMs);
  const tonight = nightOf(fromUnixMs, observatory.site.timeZone);
  const tomorrow = nightOf(tonight.endUnixMs, observatory.site.timeZone);
  const opens = timeFrom(opensUnixMs, now);
  if (opensUnixMs >= tonight.endUnixMs) {
    const whole = nightClause(target, tonight, fromUnixMs, observatory);
    const clause = whole ?? obstacleClause(obstacle, fromUnixMs > now ? "" : " now");
    if (opensUnixMs >= tomorrow.endUnixMs)
      throw notTonight(target, clause, opensUnixMs, isTonight(tonight, now));
    if (fromUnixMs > now) {
      const when = whole === null ? say`At ${timeFrom(fromUnixMs, now)}` : say`Not that night:`;
      return { opensUnixMs, warning: say`${when} ${clause}; its next chance is ${opens}.` };
    }
    const any = windowsOf(target, tonight, observatory).length > 0 ? " any more" : "";
    const when = say`It cannot be observed${any} tonight, but tomorrow night from ${opens}`;
    return { opensUnixMs, warning: say`${when}: ${clause}.` };
  }
  const limit = limitAt(target, opensUnixMs - SECOND, observatory);
  if (limit !== obstacle.limit)
    return { opensUnixMs, warning: say`It can be observed from ${opens}, when ${openingClause(limit)}.` };
  const clause = obstacleClause(obstacle, fromUnixMs > now ? " then" : " now");
  return { opensUnixMs, warning: say`It can be observed from ${opens}: ${clause}.` };
}

function isTonight(night: Night, now: UtcMillis): boolean {
  return night.startUnixMs <= now && now < night.endUnixMs;
}

function neverUp(target: Target, obstacle: WhyNot, now: UtcMillis, observatory: Observatory): Offer {
  const { answer, reason, bySun } = neverWords(target, obstacle, now, observatory);
  return new Offer(bySun ? "near-sun" : "never-up", [
    say`${strong(answer)}${reason}. ${bySun ? `${SUN_CAUTION} ` : ""}Ask for something that is up: /tonight has a list.`,
  ]);
}

function nearSun(target: Target, obstacle: WhyNot, opensUnixMs: UtcMillis): Offer {
  const apart = obstacle.valueDegrees.toFixed(0);
  const limit = obstacle.limitDegrees.toFixed(0);
  return new Offer("near-sun", [
    say`${strong(`${sentenceName(target)} is ${apart}° from the Sun`)}, and the limit is ${limit}°; ask again from ${dayOf(opensUnixMs)}. ${SUN_CAUTION}`,
  ]);
}

function notTonight(target: Target, reason: string, opensUnixMs: UtcMillis, tonight: boolean): Offer {
  const night = tonight ? "tonight" : "that night";
  return new Offer("not-tonight", [
    say`${strong(`${sentenceName(target)} cannot be observed ${night}`)}: ${reason}. It is possible from ${dayOf(opensUnixMs)}; /tonight lists what is up now.`,
  ]);
}
