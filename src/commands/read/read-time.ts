/** How people write an instant or a night: "22:30", "10 pm", "in 20 min", "2026-12-04 22:30", "tomorrow". */
import { DateTime } from "luxon";
import { Refusal } from "../../base/refusal.js";
import { DAY, HOUR, SECOND, type UtcMillis } from "../../base/units.js";
import { nightOf } from "../../sky/night.js";
import { readDuration } from "./read-duration.js";
import { comingOnTheWall, onTheWall } from "./wall-clock.js";

const CLOCK = /^(\d{1,2})(?::(\d{2}))?\s*(am|pm)?$/i;
/** A clock time this recently gone is a slip, not tomorrow. */
const SLIP = 6 * HOUR;
/** Nobody plans a request further ahead than this. */
const FURTHEST = 366 * DAY;

/** Whether a word could be a clock time, for a line without option names. */
export function looksLikeTime(word: string): boolean {
  return /^(\d{1,2}:\d{2}(am|pm)?|\d{1,2}(am|pm)|\d{4}-\d{2}-\d{2}(T\d{2}:\d{2})?|\+\d+\w*)$/i.test(word);
}

/**
 * An instant to come, read in the site's time zone.
 * A clock time means the next one; a length of time ("30 min", "+30") counts from now.
 * @throws {Refusal} codes "bad-time", "time-past", "time-too-far", "no-such-time", "which-time"
 */
export function readTime(text: string, now: UtcMillis, timeZone: string): UtcMillis {
  const typed = text.trim();
  const unixMs = fromNow(typed, now) ?? onTheClock(typed, now, timeZone) ?? onADay(typed, now, timeZone);
  if (unixMs === null) {
    throw new Refusal(
      "bad-time",
      `"${typed.slice(0, 40)}" is no time here: type one such as 22:30, 30 min or 2026-12-04 22:30.`,
    );
  }
  if (unixMs <= now) {
    const local = DateTime.fromMillis(now, { zone: timeZone }).toFormat("HH:mm");
    throw new Refusal(
      "time-past",
      `${typed.slice(0, 40)} is past: it is ${local} at the observatory. Type a later time.`,
    );
  }
  if (unixMs > now + FURTHEST) {
    throw new Refusal(
      "time-too-far",
      `${typed.slice(0, 40)} is more than a year ahead: type an earlier date.`,
    );
  }
  return unixMs;
}

/**
 * A clock time of no particular day, as minutes after midnight: "21:00", "9 pm", "21".
 * @throws {Refusal} code "bad-time"
 */
export function readClock(text: string): number {
  const match = CLOCK.exec(text.trim());
  const hour = match ? hourOf(Number(match[1]), match[3]?.toLowerCase()) : null;
  const minute = Number(match?.[2] ?? 0);
  if (hour !== null && minute <= 59) return hour * 60 + minute;
  throw new Refusal(
    "bad-time",
    `"${text.trim().slice(0, 40)}" is no clock time: type one such as 21:00 or 9 pm.`,
  );
}

/**
 * The latest instant not after now at which the clock on the observatory's wall showed that time.
 * @throws {Refusal} codes "bad-time", "no-such-time"
 */
export function readPastClock(text: string, now: UtcMillis, timeZone: string): UtcMillis {
  const minutes = readClock(text);
  const [hour, minute] = [Math.floor(minutes / 60), minutes % 60];
  const today = DateTime.fromMillis(now, { zone: timeZone }).set({ hour, minute, second: 0, millisecond: 0 });
  return onTheWall(today.toMillis() <= now ? today : today.minus({ days: 1 }), hour, minute);
}

/**
 * The evening date of a night, "2026-12-04".
 * @throws {Refusal} codes "bad-date", "time-too-far"
 */
export function readDate(text: string, now: UtcMillis, timeZone: string): string {
  const typed = text.trim().toLowerCase();
  const tonight = nightOf(now, timeZone).date;
  if (typed === "tonight" || typed === "today") return tonight;
  const base = DateTime.fromISO(tonight, { zone: timeZone });
  if (typed === "tomorrow") return base.plus({ days: 1 }).toISODate() as string;
  const date = /^\d{4}-\d{2}-\d{2}$/.test(typed) ? DateTime.fromISO(typed, { zone: timeZone }) : null;
  if (!date?.isValid) {
    throw new Refusal(
      "bad-date",
      `"${text.trim().slice(0, 40)}" is no date here: type tonight, tomorrow or a date such as 2026-12-04.`,
    );
  }
  if (Math.abs(date.diff(base, "days").days) > 366) {
    throw new Refusal("time-too-far", `${typed} is more than a year away: type a nearer date.`);
  }
  return date.toISODate() as string;
}

/** "in 30 min", "+30" (minutes), "2 h". */
function fromNow(text: string, now: UtcMillis): UtcMillis | null {
  const marked = /^(?:in\s+|\+\s*)(.+)$/i.exec(text);
  const length = readDuration(marked?.[1] ?? text, "minutes");
  if (!length || (!marked && !length.hasUnit)) return null;
  return now + length.seconds * SECOND;
}

function onTheClock(text: string, now: UtcMillis, timeZone: string): UtcMillis | null {
  const match = CLOCK.exec(text);
  if (!match || (match[2] === undefined && match[3] === undefined)) return null;
  const minute = Number(match[2] ?? 0);
  const hour = hourOf(Number(match[1]), match[3]?.toLowerCase());
  if (hour === null || minute > 59) return null;
  const local = DateTime.fromMillis(now, { zone: timeZone });
  const today = local.set({ hour, minute, second: 0, millisecond: 0 });
  return comingOnTheWall(nextOf(today, local, now), hour, minute, now);
}

function nextOf(today: DateTime, local: DateTime, now: UtcMillis): DateTime {
  if (today.toMillis() > now) return earliestOf(today, local.minus({ days: 1 }), now);
  return now - today.toMillis() < SLIP ? today : today.plus({ days: 1 });
}

/** A time that is past since yesterday evening, typed after midnight, is past rather than tonight's. */
function earliestOf(today: DateTime, yesterday: DateTime, now: UtcMillis): DateTime {
  const before = today.set({ year: yesterday.year, month: yesterday.month, day: yesterday.day });
  return now - before.toMillis() < SLIP ? before : today;
}

function hourOf(hour: number, half: string | undefined): number | null {
  if (half === "am" || half === "pm") {
    if (hour < 1 || hour > 12) return null;
    return (hour % 12) + (half === "pm" ? 12 : 0);
  }
  return hour <= 23 ? hour : null;
}

function onADay(text: string, now: UtcMillis, timeZone: string): UtcMillis | null {
  if (!/^\d{4}-\d{2}-\d{2}[T ]\d{2}:\d{2}(:\d{2})?(\.\d+)?(Z|[+-]\d{2}:?\d{2})?$/.test(text)) return null;
  const read = DateTime.fromISO(text.replace(" ", "T"), { zone: timeZone });
  if (!read.isValid) return null;
  if (/(Z|[+-]\d{2}:?\d{2})$/.test(text.slice(10))) return read.toMillis();
  return comingOnTheWall(read, Number(text.slice(11, 13)), Number(text.slice(14, 16)), now);
}
