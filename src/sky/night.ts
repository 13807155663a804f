/** The observing night: local noon to local noon, named by its evening date. */
import { DateTime } from "luxon";
import type { UtcMillis } from "../base/units.js";

export interface Night {
  /** Evening date, "2026-11-25". */
  readonly date: string;
  /** Local noon of the evening date. */
  readonly startUnixMs: UtcMillis;
  /** Local noon of the next day: 23, 24 or 25 h later. */
  readonly endUnixMs: UtcMillis;
}

/** By time zone: the night last asked about, since most questions are about one and the same. */
const latest = new Map<string, Night>();

/** The night that contains an instant; noon itself begins the new night. */
export function nightOf(unixMs: UtcMillis, timeZone: string): Night {
  const known = latest.get(timeZone);
  if (known && known.startUnixMs <= unixMs && unixMs < known.endUnixMs) return known;
  const night = findNight(unixMs, timeZone);
  latest.set(timeZone, night);
  return night;
}

/** The night named by an evening date ("2026-11-25"). */
export function nightNamed(date: string, timeZone: string): Night {
  const noon = DateTime.fromISO(`${date}T12:00:00`, { zone: timeZone });
  return {
    date,
    startUnixMs: noon.toMillis(),
    endUnixMs: noon.plus({ days: 1 }).toMillis(),
  };
}

function findNight(unixMs: UtcMillis, timeZone: string): Night {
  const local = DateTime.fromMillis(unixMs, { zone: timeZone });
  const day = local.hour < 12 ? local.minus({ days: 1 }) : local;
  return nightNamed(day.toISODate() as string, timeZone);
}
