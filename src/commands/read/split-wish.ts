/** Takes apart what was typed in one breath: "M13 clear 20 3", "ring nebula in v, 30 s x 2 please", "M13 cloud is coming". */
import { button } from "../../base/button.js";
import { capital, listed } from "../../base/english.js";
import { Refusal } from "../../base/refusal.js";
import type { Filter } from "../../observatory/observatory.js";
import type { Catalogue } from "../../sky/names/catalogue.js";
import type { RawOptions } from "../command.js";
import { Offer } from "../offer.js";
import { shortName } from "../words/target-words.js";
import { cleanText } from "./clean-text.js";
import { type ReadWish, readWish } from "./read-wish.js";
import { nearest } from "./spelling.js";

/** Nothing longer is taken apart. */
const LONGEST_TEXT = 600;
/** A name or coordinates have no more words than this. */
const MOST_WORDS = 12;
/** Options that would make a request someone else's. */
const FOR_OTHERS = /^(@.+|for|as|behalf|person|owner|student|user)$/i;

/** A target's name and what came after it. */
export interface SplitText {
  readonly target: string;
  readonly rest: readonly string[];
}

/** Text worth taking apart, cleaned; null for what is no text, or too long to be a name and a few numbers. */
export function splittable(value: string | number | undefined): string | null {
  return typeof value === "string" && value.length <= LONGEST_TEXT ? cleanText(value) : null;
}

/** The longest beginning of the text that names something, and the words left over; the whole where nothing does. */
export function splitTarget(text: string, catalogue: Catalogue): SplitText {
  const words = text.split(/\s+/).filter(Boolean);
  for (let length = Math.min(words.length, MOST_WORDS); length > 0; length--) {
    const target = words.slice(0, length).join(" ");
    if (catalogue.lookUp(target).found) return { target, rest: words.slice(length) };
  }
  return { target: text, rest: [] };
}

/**
 * Raw options of /request with the target's text taken apart; what was given by name stays.
 * @throws {Refusal} codes "given-twice", "for-someone-else", "not-understood", "two-targets", "later-night"
 */
export function splitWish(raw: RawOptions, catalogue: Catalogue, filters: readonly Filter[]): RawOptions {
  if (Object.keys(raw).some((name) => raw[name] !== undefined && FOR_OTHERS.test(name)))
    throw forSomeoneElse();
  const text = splittable(raw.target);
  if (text === null) return raw;
  const { target: _, ...given } = raw;
  const wish = readWish(text, catalogue, filters, given);
  if (wish.forOther) throw forSomeoneElse();
  const { date, ...understood } = wish.options;
  const options = { ...given, ...understood };
  if (wish.second !== null) throw twoTargets([wish.target, wish.second], options, catalogue);
  if (date !== undefined) throw laterNight();
  const [strange] = wish.strange;
  if (strange === undefined) return { ...options, target: wish.wider ?? wish.target };
  const names = filters.map(({ name }) => name).filter((name) => name.length > 2);
  const isFilter = wish.strange.length === 1 && options.filter === undefined;
  if (isFilter && (wish.wider === null || nearest(strange, names) !== null))
    return { ...options, target: wish.target, filter: strange };
  if (wish.wider !== null) return { ...options, target: wish.wider };
  throw notUnderstood(wish, { ...options, target: wish.target }, catalogue);
}

function forSomeoneElse(): Refusal {
  return new Refusal(
    "for-someone-else",
    "A request is always your own: let the other person type it, or /join theirs once it is there.",
  );
}

function laterNight(): Refusal {
  return new Refusal(
    "later-night",
    "A request waits in the queue until its turn, this night or another: leave the day out, or say when it may begin, as in notbefore=2026-12-04 21:00.",
  );
}

/** What was understood, what was not, and a press that asks for the former. */
function notUnderstood(wish: ReadWish, options: RawOptions, catalogue: Catalogue): Refusal {
  const { found } = catalogue.lookUp(wish.target);
  const name = found ? shortName(found) : wish.target;
  const strange = listed(wish.strange.slice(0, 4).map((word) => `“${word.slice(0, 40)}”`));
  const sentence = `I understood ${listed([name, ...understoodWords(options)])}, but not ${strange}: press to ask without it, or type it as in /request M13 clear 20 3.`;
  return new Offer("not-understood", [[sentence]], [button(`Ask for ${name}`, "request", options, null)]);
}

/** ["filter R", "exposure 2 min", "3 frames"]. */
export function understoodWords({ filter, exposure, frames, notbefore }: RawOptions): string[] {
  return [
    ...(filter === undefined ? [] : [`filter ${filter}`]),
    ...(exposure === undefined
      ? []
      : [`an exposure of ${/\D$/.test(String(exposure)) ? exposure : `${exposure} s`}`]),
    ...(frames === undefined ? [] : [`${frames} ${String(frames) === "1" ? "frame" : "frames"}`]),
    ...(notbefore === undefined ? [] : [`not before ${notbefore}`]),
  ];
}

function twoTargets(names: readonly string[], options: RawOptions, catalogue: Catalogue): Refusal {
  const shown = names.map((name) => {
    const { found } = catalogue.lookUp(name);
    return found ? shortName(found) : name;
  });
  const sentence = `${capital(listed(shown))} are two targets, and a request is for one: ask for each by itself.`;
  const actions = shown.map((name) =>
    button(`Ask for ${name}`, "request", { ...options, target: name }, null),
  );
  return new Offer("two-targets", [[sentence]], actions);
}
