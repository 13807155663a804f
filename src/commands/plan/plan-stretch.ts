/** The stretch of a night that /plan plans: from the date, the clock time and the length that were typed. */
import { DateTime } from "luxon";
import { Refusal } from "../../base/refusal.js";
import { MINUTE, type UtcMillis } from "../../base/units.js";
import { type Night, nightNamed } from "../../sky/night.js";
import { onTheWall } from "../read/wall-clock.js";

export interface Stretch {
  readonly night: Night;
  /** When the class begins; now, where it has begun. */
  readonly fromUnixMs: UtcMillis;
  readonly untilUnixMs: UtcMillis;
  /** The beginning that was typed is past. */
  readonly begun: boolean;
}

/** Nothing shorter is planned. */
export const LEAST_MINUTES = 10;

/**
 * @param date the night, by its evening date
 * @param clock minutes after midnight on the clock at the site; the hours before noon belong to the day after
 * @throws {Refusal} codes "time-past", "no-such-time"
 */
export function stretchOf(
  date: string,
  clock: number,
  minutes: number,
  zone: string,
  now: UtcMillis,
): Stretch {
  const typedFrom = begins(date, clock, zone);
  const untilUnixMs = typedFrom + minutes * MINUTE;
  const begun = typedFrom < now;
  if (untilUnixMs <= now) {
    const ended = DateTime.fromMillis(untilUnixMs, { zone, locale: "en-GB" }).toFormat("ccc d LLL HH:mm");
    throw new Refusal("time-past", `That hour is past, over since ${ended}: give a night or a time to come.`);
  }
  if (begun && untilUnixMs - now < LEAST_MINUTES * MINUTE) {
    throw new Refusal(
      "time-past",
      "That hour is nearly over: give a night or a time to come, or more minutes.",
    );
  }
  return { night: nightNamed(date, zone), fromUnixMs: Math.max(typedFrom, now), untilUnixMs, begun };
}

function begins(date: string, clock: number, zone: string): UtcMillis {
  const evening = DateTime.fromISO(date, { zone });
  const day = clock < 12 * 60 ? evening.plus({ days: 1 }) : evening;
  return onTheWall(day, Math.floor(clock / 60), clock % 60);
}
