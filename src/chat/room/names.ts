/** Names that people choose: cleaned, one person each. */
import { Refusal } from "../../base/refusal.js";
import { cleanText } from "../../commands/clean-text.js";

const LONGEST = 24;
/** Words that the product itself uses for people. */
const KEPT_BACK = new Set([
  "someone",
  "you",
  "staff",
  "instructor",
  "operator",
  "telescope",
  "nightslate",
  "outbox",
]);

/**
 * A name fit to be shown to the class.
 * @throws {Refusal} code "bad-name", saying what to type instead
 */
export function cleanName(typed: string): string {
  const name = cleanText(typed.slice(0, 200).normalize("NFKC"))
    .replace(/\p{M}{3,}/gu, "")
    .replace(/[<>@#`*_~|\\/{}[\]"]/g, "")
    .replace(/\s+/g, " ")
    .trim();
  if (!/\p{L}/u.test(name)) throw refused("Type your name, with at least one letter.");
  if ([...name].length > LONGEST) throw refused(`A name may have at most ${LONGEST} characters: shorten it.`);
  if (KEPT_BACK.has(nameKey(name))) throw refused(`"${name}" is no name that can be taken: type your own.`);
  if (mixesScripts(name)) throw refused("Type your name in the letters of one script.");
  return name;
}

/** Two names with the same key are one name to a reader: case, accents, spaces and dots don't count. */
export function nameKey(name: string): string {
  return name
    .normalize("NFKD")
    .replace(/[^\p{L}\p{N}]/gu, "")
    .toLowerCase()
    .normalize("NFC");
}

/** The account part of a person's id: letters, digits and dashes. */
export function slugOf(name: string): string {
  const ascii = name
    .normalize("NFKD")
    .replace(/\p{M}/gu, "")
    .toLowerCase()
    .replace(/[^a-z0-9]+/g, "-")
    .replace(/^-+|-+$/g, "");
  return ascii.slice(0, 30) || "guest";
}

/** Latin beside Cyrillic or Greek letters can spell a name that only looks like another. */
function mixesScripts(name: string): boolean {
  const scripts = [/\p{Script=Latin}/u, /\p{Script=Cyrillic}/u, /\p{Script=Greek}/u];
  return scripts.filter((script) => script.test(name)).length > 1;
}

function refused(sentence: string): Refusal {
  return new Refusal("bad-name", sentence);
}
