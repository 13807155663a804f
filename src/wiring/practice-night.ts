/** Where the practice clock starts, and how it skips daylight. */
import type { UtcMillis } from "../base/units.js";
import { MINUTE } from "../base/units.js";
import type { Observatory } from "../observatory/observatory.js";
import { type Night, nightOf } from "../sky/night.js";
import { sunAltitudeDegrees } from "../sky/places.js";

/** The part of a night in which fixed targets may be observed; one instant (the Sun lowest) where it never gets dark. */
export interface DarkHours {
  readonly duskUnixMs: UtcMillis;
  readonly dawnUnixMs: UtcMillis;
}

/** Dark hours of a night at the observatory's own Sun limit, to the minute. */
export function darkHours(night: Night, observatory: Observatory): DarkHours {
  const { site, limits } = observatory;
  let lowest = { unixMs: night.startUnixMs, altitude: 90 };
  let dusk: UtcMillis | null = null;
  let dawn: UtcMillis | null = null;
  for (let unixMs = night.startUnixMs; unixMs < night.endUnixMs; unixMs += MINUTE) {
    const altitude = sunAltitudeDegrees(unixMs, site);
    if (altitude < lowest.altitude) lowest = { unixMs, altitude };
    if (altitude > limits.sunAltitudeDegrees) continue;
    dusk ??= unixMs;
    dawn = unixMs;
  }
  return { duskUnixMs: dusk ?? lowest.unixMs, dawnUnixMs: dawn ?? lowest.unixMs };
}

/**
 * Where a practice clock begins: tonight's dusk, or later when the journal has already been there;
 * when that is past dawn, the next dusk.
 * @param realUnixMs the real instant that says which night "tonight" is
 * @param lastUnixMs the newest entry of the journal, 0 for an empty one
 */
export function practiceStart(
  realUnixMs: UtcMillis,
  lastUnixMs: UtcMillis,
  observatory: Observatory,
): UtcMillis {
  const zone = observatory.site.timeZone;
  const tonight = darkHours(nightOf(realUnixMs, zone), observatory);
  const from = Math.max(tonight.duskUnixMs, lastUnixMs + 1);
  return skipDaylight(from, observatory) ?? from;
}

/** The next dusk when `unixMs` is in daylight or twilight; null in the dark hours. */
export function skipDaylight(unixMs: UtcMillis, observatory: Observatory): UtcMillis | null {
  const night = nightOf(unixMs, observatory.site.timeZone);
  const hours = darkHours(night, observatory);
  if (unixMs < hours.duskUnixMs) return hours.duskUnixMs;
  if (unixMs <= hours.dawnUnixMs) return null;
  const next = nightOf(night.endUnixMs, observatory.site.timeZone);
  return darkHours(next, observatory).duskUnixMs;
}
