/** How people write a length of time: "20", "20s", "1.5 min", "2 h". */
import type { Seconds } from "../../base/units.js";

const SECONDS_IN: Record<string, Seconds> = { s: 1, m: 60, h: 3600 };

/** Number without a sign, then perhaps a unit; decimal comma or point. */
const DURATION =
  /^(\d+(?:[.,]\d+)?|[.,]\d+)\s*(s|sec|secs|seconds?|″|"|m|min|mins|minutes?|′|'|h|hr|hrs|hours?)?$/i;

/** Whether a word is only a unit of time, as in "20 s" typed with a space. */
export function isTimeUnit(word: string): boolean {
  return /^(s|sec|secs|seconds?|m|min|mins|minutes?|h|hr|hrs|hours?)$/i.test(word);
}

/**
 * A duration in seconds, with whether a unit was given; null when the text is no duration.
 * A bare number counts in `bareUnit`.
 */
export function readDuration(
  text: string,
  bareUnit: "seconds" | "minutes",
): { seconds: Seconds; hasUnit: boolean } | null {
  const match = DURATION.exec(text.trim());
  if (!match) return null;
  const amount = Number((match[1] as string).replace(",", "."));
  const unit = match[2] ? unitLetter(match[2]) : null;
  const factor = unit ? (SECONDS_IN[unit] as number) : bareUnit === "minutes" ? 60 : 1;
  return { seconds: amount * factor, hasUnit: unit !== null };
}

function unitLetter(unit: string): string {
  if (unit === "″" || unit === '"') return "s";
  if (unit === "′" || unit === "'") return "m";
  return unit.charAt(0).toLowerCase();
}
