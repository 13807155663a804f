/** The dark hours and the class's own. */
import { HOUR, MINUTE, type UtcMillis } from "../../../base/units.js";
import type { Observatory } from "../../../observatory/observatory.js";
import type { Night } from "../../../sky/night.js";
import { sunAltitudeDegrees } from "../../../sky/place-at.js";
import type { Truth } from "./parameters.js";

export interface Hours {
  readonly duskUnixMs: UtcMillis;
  readonly dawnUnixMs: UtcMillis;
  readonly classBeginsUnixMs: UtcMillis;
  readonly classEndsUnixMs: UtcMillis;
}

/** To the minute, by looking at each. A night that never darkens has its dusk and dawn about its middle. */
export function hoursOf(night: Night, observatory: Observatory, { arrivals }: Truth): Hours {
  const middle = (night.startUnixMs + night.endUnixMs) / 2;
  let duskUnixMs = middle - HOUR;
  let dawnUnixMs = middle + HOUR;
  const dark = (unixMs: UtcMillis): boolean =>
    sunAltitudeDegrees(unixMs, observatory.site) <= observatory.limits.sunAltitudeDegrees;
  const minutes = Math.floor((night.endUnixMs - night.startUnixMs) / MINUTE);
  const darkMinutes = Array.from(
    { length: minutes },
    (_, minute) => night.startUnixMs + minute * MINUTE,
  ).filter(dark);
  if (darkMinutes.length > 0) {
    duskUnixMs = darkMinutes[0] as number;
    dawnUnixMs = darkMinutes.at(-1) as number;
  }
  const { classBeginsClock, classBeginsMinutesAfterDusk } = arrivals;
  const classBeginsUnixMs =
    classBeginsClock === null
      ? duskUnixMs + classBeginsMinutesAfterDusk * MINUTE
      : clockUnixMs(night, classBeginsClock);
  return {
    duskUnixMs,
    dawnUnixMs,
    classBeginsUnixMs,
    classEndsUnixMs: classBeginsUnixMs + arrivals.classMinutes * MINUTE,
  };
}

/** A local clock time of the evening, counted from local noon. */
function clockUnixMs({ startUnixMs }: Night, clock: string): UtcMillis {
  const [hours = 0, minutes = 0] = clock.split(":").map(Number);
  return startUnixMs + (hours - 12 + (hours < 12 ? 24 : 0)) * HOUR + minutes * MINUTE;
}
