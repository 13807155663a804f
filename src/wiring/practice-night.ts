/** Where the practice clock starts, and how it skips daylight. */
import type { UtcMillis } from "../base/units.js";
import { darkHours } from "../notices/darkness.js";
import type { Observatory } from "../observatory/observatory.js";
import { type Night, nightOf } from "../sky/night.js";

/** Dusk and dawn of a night at the observatory's own Sun limit; one instant, midway, where it never gets dark. */
function duskAndDawn(
  night: Night,
  observatory: Observatory,
): { duskUnixMs: UtcMillis; dawnUnixMs: UtcMillis } {
  const dark = darkHours(night, observatory);
  const midway = (night.startUnixMs + night.endUnixMs) / 2;
  return { duskUnixMs: dark?.openUnixMs ?? midway, dawnUnixMs: dark?.closeUnixMs ?? midway };
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
  const tonight = duskAndDawn(nightOf(realUnixMs, zone), observatory);
  const from = Math.max(tonight.duskUnixMs, lastUnixMs + 1);
  return skipDaylight(from, observatory) ?? from;
}

/** The next dusk when `unixMs` is in daylight or twilight; null in the dark hours. */
export function skipDaylight(unixMs: UtcMillis, observatory: Observatory): UtcMillis | null {
  const night = nightOf(unixMs, observatory.site.timeZone);
  const hours = duskAndDawn(night, observatory);
  if (unixMs < hours.duskUnixMs) return hours.duskUnixMs;
  if (unixMs <= hours.dawnUnixMs) return null;
  const next = nightOf(night.endUnixMs, observatory.site.timeZone);
  return duskAndDawn(next, observatory).duskUnixMs;
}
