/** Text as data: a surface decides how a time or a person looks and escapes everything else. */
import type { UtcMillis } from "./units.js";

/** An instant to be shown in the reader's own time zone. */
export interface TimePart {
  readonly timeUnixMs: UtcMillis;
  /** `clock` 21:40 · `day` Wed 25 Nov · `both` Wed 25 Nov 21:40 · `relative` in 12 min */
  readonly style: "clock" | "day" | "both" | "relative";
}
/** A person, named to those who may know the name, mentioned where the notice is for them. */
export interface PersonPart {
  readonly personId: string;
}
/** Emphasis: the part of a sentence that is the answer. */
export interface StrongPart {
  readonly strong: string;
}
/** What to type on a line, and the same where each option is a field to fill in. */
export interface TypedPart {
  readonly typed: string;
  readonly form: string;
}
/** Plain strings are never markup: a surface escapes them. */
export type Part = string | TimePart | PersonPart | StrongPart | TypedPart;
/** One line of text. */
export type Phrase = readonly Part[];

const timeAs =
  (style: TimePart["style"]) =>
  (timeUnixMs: UtcMillis): TimePart => ({ timeUnixMs, style });
export const clockTime = timeAs("clock");
export const dayOf = timeAs("day");
export const dayAndTime = timeAs("both");
export const relative = timeAs("relative");
export const person = (personId: string): PersonPart => ({ personId });
export const typed = (line: string, form: string): TypedPart => ({ typed: line, form });
export const strong = (text: string): StrongPart => ({ strong: text });

type Value = Part | number | Phrase;

/** Template tag: say`Starts about ${clockTime(t)}.` */
export function say(strings: TemplateStringsArray, ...values: readonly Value[]): Phrase {
  const parts: Part[] = [];
  strings.forEach((text, index) => {
    if (text !== "") parts.push(text);
    const value = values[index];
    if (value === undefined) return;
    if (Array.isArray(value)) parts.push(...(value as Phrase));
    else parts.push(typeof value === "number" ? String(value) : (value as Part));
  });
  return parts;
}

/** How one surface and one reader see the parts. */
export interface PhraseStyle {
  text(plain: string): string;
  time(part: TimePart): string;
  person(personId: string): string;
  strong(text: string): string;
  /** Where options are fields to fill in; elsewhere the typed line is shown as text. */
  form?(text: string): string;
}

/** Renders a phrase with a surface's style. */
export function renderPhrase(phrase: Phrase, style: PhraseStyle): string {
  return phrase
    .map((part) => {
      if (typeof part === "string") return style.text(part);
      if ("timeUnixMs" in part) return style.time(part);
      if ("personId" in part) return style.person(part.personId);
      if ("typed" in part) return style.form ? style.form(part.form) : style.text(part.typed);
      return style.strong(part.strong);
    })
    .join("");
}
