/** Takes apart what was typed in one breath: "M13 clear 20 3", "Ring Nebula, V, 30 s, x2", "05 35 17 -05 23 28 R 60". */
import { Refusal } from "../../base/refusal.js";
import type { Filter } from "../../observatory/observatory.js";
import type { Catalogue } from "../../sky/names/catalogue.js";
import type { RawOptions } from "../command.js";
import { cleanText } from "./clean-text.js";
import { isTimeUnit, readDuration } from "./read-duration.js";
import { filterNamed, readFilter } from "./read-sky.js";

/** Nothing longer is taken apart. */
const LONGEST_TEXT = 600;
/** A name or coordinates have no more words than this. */
const MOST_WORDS = 12;
/** "22:30", "10pm": coordinates are never written so after the first word. */
const CLOCK = /^(\d{1,2}:\d{2}(am|pm)?|\d{1,2}(am|pm))$/i;
/** Said before a time. */
const AFTER = /\b(?:not before|after|from|at)\s+(?=\d)/i;
/** Words that would make a request someone else's. */
const FOR_OTHERS = /^(@.+|(for|as|behalf|person|owner|student|user)([=:].*)?)$/i;

/** A target's name and what came after it. */
export interface SplitText {
  readonly target: string;
  readonly rest: readonly string[];
}

/** "3x20s", "3×20": frames times exposure. */
const FRAMES_TIMES_EXPOSURE = /^(\d+)[x×](\d+(?:[.,]\d+)?[a-z]*)$/i;
/** "05 35 17 -05 23 28", right or wrong: never a shorter position with numbers after it. */
const SEXAGESIMAL = /^\d{1,3} \d{1,2} \d{1,2}(?:\.\d+)? [+−-]\d{1,3} \d{1,2} \d{1,2}(?:\.\d+)?(?= |$)/;
/** "x3", "3x", "×3". */
const FRAMES = /^(?:[x×](\d+)|(\d+)[x×])$/i;

/** Text worth taking apart, cleaned; null for what is no text, or too long to be a name and a few numbers. */
export function splittable(value: string | number | undefined): string | null {
  return typeof value === "string" && value.length <= LONGEST_TEXT ? cleanText(value) : null;
}

/**
 * The text up to the first word of several letters that `isTail` knows, where that names something; else the
 * longest beginning of the text that names something, and the words left over.
 * Where nothing is found, or a name is followed by what may be its misspelt second half, the text up to the
 * first word that `isTail` knows.
 */
export function splitTarget(
  text: string,
  catalogue: Catalogue,
  isTail: (word: string) => boolean,
): SplitText {
  const words = text
    .replace(/,(?=\s|$)/g, " ")
    .split(/\s+/)
    .filter(Boolean);
  const position = SEXAGESIMAL.exec(words.join(" "))?.[0];
  if (position !== undefined) return { target: position, rest: words.slice(position.split(" ").length) };
  const certain = words.findIndex((word, index) => index > 0 && word.length > 1 && isTail(word));
  const before = words.slice(0, certain).join(" ");
  if (certain > 0 && catalogue.lookUp(before).found) return { target: before, rest: words.slice(certain) };
  const length = namedLength(words, catalogue);
  const next = words[length] ?? "";
  const misspelt =
    length > 0 &&
    /^\p{L}{3,}$/u.test(next) &&
    !isTail(next) &&
    !/\d/.test(words.slice(0, length).join("")) &&
    resembles(words.slice(0, length + 1).join(" "), catalogue);
  if (length > 0 && !misspelt) return { target: words.slice(0, length).join(" "), rest: words.slice(length) };
  const tail = words.findIndex((word, index) => index > 0 && isTail(word));
  const end = tail < 0 ? words.length : tail;
  return { target: words.slice(0, end).join(" "), rest: words.slice(end) };
}

/** Whether something in the catalogue has nearly this name. */
function resembles(text: string, catalogue: Catalogue): boolean {
  const looked = catalogue.lookUp(text);
  return "suggestions" in looked && looked.suggestions.length > 0;
}

/** How many words from the beginning name something, at most; 0 for none. */
function namedLength(words: readonly string[], catalogue: Catalogue): number {
  for (let length = Math.min(words.length, MOST_WORDS); length > 0; length--) {
    const looked = catalogue.lookUp(words.slice(0, length).join(" "));
    if (looked.found || ("refused" in looked && looked.refused === "sun")) return length;
  }
  return 0;
}

/**
 * Raw options of /request with the target's text split into target, filter, exposure, frames and not-before.
 * What was given by name stays; the rest of the text fills what is still open.
 * @throws {Refusal} codes "unknown-filter", "given-twice", "for-someone-else", "not-understood"
 */
export function splitWish(raw: RawOptions, catalogue: Catalogue, filters: readonly Filter[]): RawOptions {
  refuseForOthers(raw);
  const text = splittable(raw.target);
  if (text === null) return raw;
  const isTail = (word: string): boolean =>
    filterNamed(word, filters) !== null ||
    CLOCK.test(word) ||
    readDuration(word, "seconds")?.hasUnit === true ||
    FRAMES.test(word);
  const { target, rest } = splitTarget(text.replace(AFTER, ""), catalogue, isTail);
  if (rest.length === 0) return { ...raw, target };
  const options: Record<string, string | number | undefined> = { ...raw, target };
  const put = (name: string, value: string): void => {
    if (options[name] !== undefined) {
      throw new Refusal(
        "given-twice",
        `Given twice: ${name}, as "${options[name]}" and as "${value}". Say it once, as in /request M13 clear 20 3.`,
      );
    }
    options[name] = value;
  };
  readTail(joinUnits(rest), filters, put, () => options.filter !== undefined);
  return options;
}

/** @throws {Refusal} code "for-someone-else" when an option names a person */
function refuseForOthers(raw: RawOptions): void {
  if (Object.keys(raw).some((name) => raw[name] !== undefined && FOR_OTHERS.test(name)))
    throw forSomeoneElse();
}

function forSomeoneElse(): Refusal {
  return new Refusal(
    "for-someone-else",
    "A request is always your own: let the other person type it, or /join theirs once it is there.",
  );
}

function notUnderstood(word: string): Refusal {
  return new Refusal(
    "not-understood",
    `"${word.slice(0, 40)}" is neither an exposure in seconds nor a number of frames: type both after the filter, as in /request M13 clear 20 3.`,
  );
}

function readTail(
  words: readonly string[],
  filters: readonly Filter[],
  put: (name: string, value: string) => void,
  filterGiven: () => boolean,
): void {
  const unitGiven = words.some((word) => readDuration(word, "seconds")?.hasUnit);
  let exposureSeen = unitGiven;
  for (const word of words) {
    if (FOR_OTHERS.test(word)) throw forSomeoneElse();
    // An option that there is none of; whoever reads the options says so.
    const named = /^([a-z]\w{0,29})=(.*)$/i.exec(word);
    if (named) {
      put((named[1] as string).toLowerCase(), named[2] || "?");
      continue;
    }
    if (CLOCK.test(word)) {
      put("notbefore", word);
      continue;
    }
    const product = FRAMES_TIMES_EXPOSURE.exec(word);
    const frames = FRAMES.exec(word);
    if (product) {
      put("frames", product[1] as string);
      put("exposure", product[2] as string);
    } else if (frames) put("frames", (frames[1] ?? frames[2]) as string);
    else if (readDuration(word, "seconds") === null) {
      if (filterGiven() && filterNamed(word, filters) === null) throw notUnderstood(word);
      put("filter", readFilter(word, filters));
    } else if (readDuration(word, "seconds")?.hasUnit) put("exposure", word);
    else {
      put(exposureSeen ? "frames" : "exposure", word);
      exposureSeen = true;
    }
  }
}

/** How two neighbouring words become one value: "20 s", "3 frames", "3 x", "3x 20s", "x 3"; null when they do not. */
function joinedPair(left: string, right: string): string | null {
  if (/\d$/.test(left) && isTimeUnit(right)) return left + right;
  if (/^\d+$/.test(left) && /^frames?$/i.test(right)) return `x${left}`;
  if (/^\d+$/.test(left) && /^[x×]$/i.test(right)) return `${left}x`;
  if (/^\d+[x×]$/i.test(left) && /^\d/.test(right)) return left + right;
  return /^[x×]$/i.test(left) && /^\d+$/.test(right) ? `x${right}` : null;
}

function joinUnits(words: readonly string[]): string[] {
  const joined: string[] = [];
  for (const word of words) {
    const last = joined.at(-1);
    const pair = last === undefined ? null : joinedPair(last, word);
    if (pair === null) joined.push(word);
    else joined[joined.length - 1] = pair;
  }
  return joined;
}
