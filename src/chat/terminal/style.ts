/** How the terminal shows the parts of a phrase: times in one stated zone, no control characters, bold as the only effect. */
import { DateTime } from "luxon";
import { type Phrase, type PhraseStyle, renderPhrase, type TimePart } from "../../base/phrase.js";
import type { UtcMillis } from "../../base/units.js";

export interface TerminalStyle {
  readonly timeZone: string;
  /** Whether the output understands bold and dim. */
  readonly effects: boolean;
  now(): UtcMillis;
  nameOf(personId: string): string;
}

/** One phrase as a line of text. */
export function phraseText(phrase: Phrase, style: TerminalStyle): string {
  const parts: PhraseStyle = {
    text: clean,
    time: (part) => timeText(part, style),
    person: (personId) => clean(style.nameOf(personId)),
    strong: (text) => bold(clean(text), style.effects),
  };
  return renderPhrase(phrase, parts);
}

/** Text without control and direction-changing characters, so that nothing typed can move the cursor or mislead. */
export function clean(text: string): string {
  return text.replace(/[\p{Cc}\u200e\u200f\u202a-\u202e\u2066-\u2069]/gu, " ");
}

export const bold = (text: string, effects: boolean): string =>
  effects ? `\u001b[1m${text}\u001b[22m` : text;
export const dim = (text: string, effects: boolean): string =>
  effects ? `\u001b[2m${text}\u001b[22m` : text;

/** Width on screen: effects take none. */
export function widthOf(text: string): number {
  // biome-ignore lint/suspicious/noControlCharactersInRegex: the escape sequences written above
  return [...text.replace(/\u001b\[\d+m/g, "")].length;
}

function timeText(part: TimePart, style: TerminalStyle): string {
  const local = DateTime.fromMillis(part.timeUnixMs, { zone: style.timeZone, locale: "en-GB" });
  switch (part.style) {
    case "clock":
      return local.toFormat("HH:mm");
    case "day":
      return local.toFormat("ccc d LLL");
    case "both":
      return local.toFormat("ccc d LLL HH:mm");
    case "relative":
      return relativeText(part.timeUnixMs - style.now());
  }
}

function relativeText(differenceMs: number): string {
  const minutes = Math.round(Math.abs(differenceMs) / 60_000);
  if (minutes === 0) return differenceMs > 0 ? "in less than a minute" : "just now";
  const amount = minutes < 90 ? `${minutes} min` : `${Math.round(minutes / 60)} h`;
  return differenceMs > 0 ? `in ${amount}` : `${amount} ago`;
}
