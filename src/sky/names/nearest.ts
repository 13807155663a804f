/**
 * What someone may have meant whose words fit no name: the nearest names and numbers. By hand, because of 128
 * misspellings in the tests this puts all first, the best of six search libraries 118, with names for any nonsense.
 */

import { remembering } from "../memo.js";
import type { Target } from "../target.js";
import { startingWith } from "./beginnings.js";
import { catalogueNamed, readDesignation } from "./designations.js";
import type { Name, NameIndex } from "./index-of-names.js";
import { exactKey, looseKey } from "./plain.js";
import { consonantsOf, slips, slipsToBeginnings, soundOf } from "./slips.js";

/** Suggestions at most. */
const MOST = 5;
/** Words longer than this are no slip of the pen. */
const LONGEST = 40;
/** Fewer letters stand in the middle of too many names: "iss" in "Polarissima". */
const LEAST_INSIDE = 5;
/** With fewer letters than this too many names begin nearly so. */
const LEAST_BEGUN = 5;

/** A word as it may be misspelt: how it sounds, with and without vowels, and which letters are in it. */
interface Spelling {
  readonly word: string;
  readonly sound: string;
  readonly consonants: string;
  /** A bit for each letter. */
  readonly letters: number;
}

/** Words with fewer consonants sound like too many others. */
const LEAST_CONSONANTS = 3;

/**
 * At most five targets, likeliest first; none when nothing is near.
 * @param leastBegun so many letters may be the beginning of a name, one of them wrong
 */
export function nearestTargets(
  words: readonly string[],
  { names, find }: NameIndex,
  leastBegun = LEAST_BEGUN,
): Target[] {
  const typed = exactKey(words);
  if (typed === "" || typed.length > LONGEST) return [];
  const designation = readDesignation(words);
  if (designation) return nearNumbers(designation.catalogue, designation.number, names);
  const catalogue = catalogueNamed(words);
  if (catalogue) return nearNumbers(catalogue, 1, names);
  if (/^\d+$/.test(typed)) return bareNumber(typed, names);
  if (typed.length < 3) return [];
  const begun = startingWith(words, names, MOST, LEAST_INSIDE).map(({ target }) => target);
  const numbered = words.filter((word) => /\d/.test(word)).map((word) => find([word]));
  const near = [...numbered, ...begun, ...nearSpellings(typed, looseKey(words), names, leastBegun)];
  return [...new Set(near.filter((target) => target !== null))].slice(0, MOST);
}

/**
 * Of the same catalogue: one wrong digit first, then the nearest number. Beyond the catalogue's last number only one
 * digit can be wrong, within it two.
 */
function nearNumbers(catalogue: string, wanted: number, names: readonly Name[]): Target[] {
  const numbers = names.flatMap(({ target, joined }) => {
    const number = joined.startsWith(catalogue) ? joined.slice(catalogue.length) : "";
    return /^\d+$/.test(number) ? [{ target, number }] : [];
  });
  const last = Math.max(0, ...numbers.map(({ number }) => Number(number)));
  const most = wanted > last ? 1 : 2;
  const near = numbers
    .map(({ target, number }) => ({
      target,
      slips: slips(number, String(wanted)),
      apart: Math.abs(Number(number) - wanted),
    }))
    .filter((each) => each.slips <= most)
    .sort((a, b) => a.slips - b.slips || a.apart - b.apart);
  return [...new Set(near.map(({ target }) => target))].slice(0, MOST);
}

/** "13" may be M13, C13 or NGC 13. */
function bareNumber(digits: string, names: readonly Name[]): Target[] {
  const wanted = ["m", "ngc", "c", "ic"].map((catalogue) => catalogue + Number(digits));
  const found = wanted.map((key) => names.find(({ joined }) => joined === key)?.target);
  return [...new Set(found.filter((target) => target !== undefined))];
}

const TOO_FAR = Number.POSITIVE_INFINITY;
/** Added where the likeness is less plain than the number of slips says. */
const OTHER_FIRST_LETTER = 0.6;
const ONLY_THE_BEGINNING = 0.5;
const SAME_LETTERS = 0.1;
/** What is further behind the nearest than this was hardly meant. */
const STILL_NEAR = 0.7;
/** What sounds alike, however it is spelt, is as near as one slip and a half. */
const SOUNDS_ALIKE = 1.5;

/** Within about one slip in four letters, begun so, or sounding so; nearest first, the better known of two. */
function nearSpellings(
  typed: string,
  typedLoosely: string | null,
  names: readonly Name[],
  leastBegun: number,
): Target[] {
  const forms = [...new Set([typed, typedLoosely ?? typed])].map(spellingOf);
  const best = new Map<Target, number>();
  for (const [name, target] of spellings(names)) {
    for (const form of forms) {
      const score = Math.min(
        spelledAlike(form, name, leastBegun),
        soundsAlike(form, name) ? SOUNDS_ALIKE : TOO_FAR,
      );
      if (score < (best.get(target) ?? TOO_FAR)) best.set(target, score);
    }
  }
  const nearest = Math.min(...best.values());
  return [...best]
    .filter(([, score]) => score <= nearest + STILL_NEAR)
    .sort((a, b) => a[1] - b[1])
    .map(([target]) => target)
    .slice(0, MOST);
}

/** Slips between two words, and what is added to them; Infinity where they are too many. */
function spelledAlike(
  { word: form, letters }: Spelling,
  { word: name, letters: others }: Spelling,
  leastBegun: number,
): number {
  const allowed = Math.max(1, Math.floor((form.length + 1) / 4));
  const canBegin = form.length >= leastBegun && form[0] === name[0];
  if (form.length - name.length > allowed || ones(letters & ~others) > allowed) return TOO_FAR;
  const isLonger = name.length - form.length > allowed;
  if (isLonger && !canBegin) return TOO_FAR;
  const counts = slipsToBeginnings(form, name.slice(0, form.length + allowed), isLonger ? 1 : allowed);
  const whole = counts[name.length] ?? TOO_FAR;
  if (whole <= allowed) {
    const added = form[0] === name[0] ? 0 : OTHER_FIRST_LETTER;
    return whole + added - (whole + added <= 2 && orderOnly(form, name) ? SAME_LETTERS : 0);
  }
  const begun = canBegin ? Math.min(...counts.slice(form.length - 1, form.length + 2)) : TOO_FAR;
  return begun <= 1 ? begun + ONLY_THE_BEGINNING : TOO_FAR;
}

/** Heard alike, or but for the vowels where the words are as good as equally long. */
function soundsAlike(form: Spelling, name: Spelling): boolean {
  if (form.consonants !== name.consonants || form.consonants.length < LEAST_CONSONANTS) return false;
  return form.sound === name.sound || Math.abs(form.word.length - name.word.length) <= 1;
}

/** The same letters in another order are the likelier slip. */
function orderOnly(form: string, name: string): boolean {
  return form.length === name.length && [...form].sort().join() === [...name].sort().join();
}

/** Names that can be misspelt, numbers aside, in full and without "the", "nebula" and such. */
const spellings = remembering(2, (names: readonly Name[]) => {
  const targets = new Map<string, Target>();
  for (const { target, joined, spaced } of names) {
    if (/\d/.test(joined)) continue;
    for (const word of [joined, looseKey(spaced.split(" ")) ?? joined])
      if (!targets.has(word)) targets.set(word, target);
  }
  return [...targets].map(([word, target]) => [spellingOf(word), target] as const);
});

function spellingOf(word: string): Spelling {
  const sound = soundOf(word);
  let letters = 0;
  for (let at = 0; at < word.length; at++) letters |= 1 << (word.charCodeAt(at) % 32);
  return { word, sound, consonants: consonantsOf(sound), letters };
}

/** How many bits are set: so many letters at least are slips. */
function ones(bits: number): number {
  let count = 0;
  for (let left = bits; left !== 0; left &= left - 1) count++;
  return count;
}
