/** Names that people choose: cleaned, in one script. */
import { Refusal } from "../../../base/refusal.js";
import { cleanText } from "../../../commands/read/clean-text.js";

const LONGEST = 24;
/** Marks on one letter that some script needs; more are there to spoil the line. */
const MOST_MARKS = 4;

/**
 * Scripts in use for names, after UAX #31, tables 5 and 7 (recommended, and limited use with a living
 * community). Those that one language writes together count as one.
 */
const SCRIPTS: readonly RegExp[] = [
  "Latin Greek Cyrillic Armenian Hebrew Arabic Syriac Thaana Devanagari Bengali Gurmukhi Gujarati Oriya",
  "Tamil Telugu Kannada Malayalam Sinhala Thai Lao Tibetan Myanmar Georgian Ethiopic Khmer Hangul Mongolian",
  "Cherokee Canadian_Aboriginal Tifinagh Nko Han+Hiragana+Katakana+Bopomofo",
]
  .flatMap((line) => line.split(" "))
  .map((names) => new RegExp(`[${names.replace(/(\w+)\+?/g, "\\p{Script=$1}")}]`, "u"));

/** Joiners that change how these scripts are written; anywhere else they are only unseen. */
const IDLE_JOINERS = /(?<![\p{Script=Arabic}\p{Script=Syriac}\p{M}])[\u200c\u200d]/gu;

/**
 * A name fit to be shown to the class.
 * @throws {Refusal} code "bad-name", saying what to type instead
 */
export function cleanName(typed: string): string {
  const name = cleanText(typed.slice(0, 200).normalize("NFKC"))
    .replace(/[\p{Co}\p{Cn}\p{Variation_Selector}]/gu, "")
    .replace(IDLE_JOINERS, "")
    .replace(/([\p{Script=Latin}\p{Script=Greek}\p{Script=Cyrillic}])\p{M}{3,}/gu, "$1")
    .replace(new RegExp(`(\\p{M}{${MOST_MARKS}})\\p{M}+`, "gu"), "$1")
    .replace(/[<>@#`*_~|\\/{}[\]"]/g, "")
    .replace(/\s+/g, " ")
    .trim();
  if (!/\p{L}/u.test(name)) throw badName("Type your name, with at least one letter.");
  if ([...name].length > LONGEST) throw badName(`A name may have at most ${LONGEST} characters: shorten it.`);
  if (!isOneScript(name)) throw badName("Type your name in the letters of one script.");
  return name;
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

/** Letters of two scripts side by side can spell a name that only looks like another. */
function isOneScript(name: string): boolean {
  const letters = [...name].filter((each) => /[^\p{Script=Common}\p{Script=Inherited}]/u.test(each));
  return SCRIPTS.some((script) => letters.every((each) => script.test(each)));
}

/** A refusal of a name. */
export function badName(sentence: string): Refusal {
  return new Refusal("bad-name", sentence);
}
