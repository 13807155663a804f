/** When messages make no sound: a person's own hours, or the configuration's. */
import { DateTime } from "luxon";
import type { UtcMillis } from "../base/units.js";
import type { Config } from "../config/config.js";
import type { AlertChoice } from "../journal/events.js";

/** Local clock times; the end is not included, and it may lie past midnight. */
export interface QuietHours {
  readonly from: string;
  readonly until: string;
}

/** Whether an instant lies in quiet hours, by the clock on the wall at the site. */
export function isQuiet(unixMs: UtcMillis, timeZone: string, hours: QuietHours | null): boolean {
  if (hours === null || hours.from === hours.until) return false;
  const clock = DateTime.fromMillis(unixMs, { zone: timeZone }).toFormat("HH:mm");
  return hours.from < hours.until
    ? clock >= hours.from && clock < hours.until
    : clock >= hours.from || clock < hours.until;
}

/** The quiet hours for everyone who has made no choice. */
export function usualQuietHours(config: Config): QuietHours {
  return { from: config.notices.quietFrom, until: config.notices.quietUntil };
}

/** What someone is taken to want who has made no choice: a mention, with the usual quiet hours. */
export function usualChoice(config: Config): AlertChoice {
  const { from, until } = usualQuietHours(config);
  return { how: "mention", quietFrom: from, quietUntil: until };
}

/** The quiet hours of a choice; null for none. */
export function quietHoursOf(choice: AlertChoice): QuietHours | null {
  if (choice.quietFrom === null || choice.quietUntil === null) return null;
  return { from: choice.quietFrom, until: choice.quietUntil };
}
