/** When it is dark enough: the Sun at or below the observatory's limit. */
import { HOUR, type UtcMillis } from "../base/units.js";
import { isBright, TOO_BRIGHT_SUN } from "../observatory/celestial-limits.js";
import { nightSkyOf } from "../observatory/night-sky.js";
import type { Observatory } from "../observatory/observatory.js";
import type { Interval } from "../sky/interval.js";
import { type Night, nightOf } from "../sky/night.js";
import type { Target } from "../sky/target.js";
import { whileSunBelow } from "../sky/twilight.js";

/** The first stretch of a night in which faint targets may be observed, whole milliseconds; null for none. */
export function darkHours(night: Night, observatory: Observatory): Interval | null {
  const first = nightSkyOf(night, observatory).dark[0];
  if (!first) return null;
  return { openUnixMs: Math.ceil(first.openUnixMs), closeUnixMs: Math.floor(first.closeUnixMs) };
}

/**
 * When the Sun is next low enough for a target, now or within a day; null when it is not. Never before the end of
 * civil twilight, whatever the observatory allows: a frame would be black again.
 */
export function darkAgain(fromUnixMs: UtcMillis, target: Target, observatory: Observatory): UtcMillis | null {
  const tonight = nightOf(fromUnixMs, observatory.site.timeZone);
  const tomorrow = nightOf(tonight.endUnixMs, observatory.site.timeZone);
  for (const night of [tonight, tomorrow]) {
    for (const each of darkEnough(night, target, observatory)) {
      const opens = Math.max(fromUnixMs, Math.ceil(each.openUnixMs));
      if (each.closeUnixMs > fromUnixMs && opens <= fromUnixMs + 24 * HOUR) return opens;
    }
  }
  return null;
}

function darkEnough(night: Night, target: Target, observatory: Observatory): readonly Interval[] {
  const { limits, site } = observatory;
  const bright = isBright(target, limits);
  const limit = bright ? limits.brightSunAltitudeDegrees : limits.sunAltitudeDegrees;
  if (limit > TOO_BRIGHT_SUN) return whileSunBelow(TOO_BRIGHT_SUN, night, site);
  const { dark, dusky } = nightSkyOf(night, observatory);
  return bright ? dusky : dark;
}
