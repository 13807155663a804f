/** Where the practice clock starts, and how it skips daylight. */
import type { CallOff, ScaledClock } from "../../base/clock.js";
import { MINUTE, type UtcMillis } from "../../base/units.js";
import { nightSkyOf } from "../../observatory/night-sky.js";
import type { Observatory } from "../../observatory/observatory.js";
import { type Night, nightOf } from "../../sky/night.js";

/**
 * Dusk and dawn of a night at the observatory's own Sun limit; at the limit for bright targets where it never gets
 * dark; one instant, midway, where there is not even twilight.
 */
function duskAndDawn(
  night: Night,
  observatory: Observatory,
): { duskUnixMs: UtcMillis; dawnUnixMs: UtcMillis } {
  const { dark, dusky } = nightSkyOf(night, observatory);
  const midway = (night.startUnixMs + night.endUnixMs) / 2;
  const { openUnixMs, closeUnixMs } = dark[0] ?? dusky[0] ?? { openUnixMs: midway, closeUnixMs: midway };
  return { duskUnixMs: Math.ceil(openUnixMs), dawnUnixMs: Math.floor(closeUnixMs) };
}

/**
 * Where a practice clock begins: dusk of the night that goes on, or of the coming one once that is past dawn;
 * later when the journal has already been there, and when that is past dawn, the next dusk.
 * @param realUnixMs the real instant that says which night "tonight" is
 * @param lastUnixMs the newest entry of the journal, 0 for an empty one
 */
export function practiceStart(
  realUnixMs: UtcMillis,
  lastUnixMs: UtcMillis,
  observatory: Observatory,
): UtcMillis {
  const zone = observatory.site.timeZone;
  const night = nightOf(realUnixMs, zone);
  const goingOn = duskAndDawn(night, observatory);
  const tonight =
    realUnixMs <= goingOn.dawnUnixMs ? goingOn : duskAndDawn(nightOf(night.endUnixMs, zone), observatory);
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

export interface DaylightWatch {
  readonly clock: Pick<ScaledClock, "now" | "at" | "jumpTo">;
  readonly observatory: Observatory;
  /** Whether the telescope has nothing under way. */
  readonly isIdle: () => boolean;
  /** Called at dusk; the watch is over then. */
  readonly onEvening: () => void;
}

const LOOK_EVERY = 10 * MINUTE;
/** Long enough for what is due at noon. */
const NOON_STAY = 2 * MINUTE;

/**
 * In daylight an idle telescope has nothing to wait for but noon, when what waits is told its new estimate, and
 * dusk: the clock is moved on to each.
 */
export function watchForDaylight({ clock, observatory, isIdle, onEvening }: DaylightWatch): CallOff {
  let callOff: CallOff = () => {};
  const lookAt = (unixMs: UtcMillis): void => {
    callOff = clock.at(unixMs, look);
  };
  const look = (): void => {
    const now = clock.now();
    const noon = nightOf(now, observatory.site.timeZone).endUnixMs;
    const dusk = skipDaylight(now, observatory);
    if (dusk === null || !isIdle()) {
      lookAt(now + LOOK_EVERY);
      return;
    }
    clock.jumpTo(Math.min(noon, dusk));
    if (noon < dusk) lookAt(noon + NOON_STAY);
    else onEvening();
  };
  lookAt(clock.now() + LOOK_EVERY);
  return () => callOff();
}
