/** What someone may have meant whose words fit no name: the nearest names and numbers. */

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

/** A name that can be misspelt, and how it sounds. */
interface Spelling {
  readonly target: Target;
  readonly sound: string;
}

/** Words with fewer consonants sound like too many others. */
const LEAST_CONSONANTS = 3;

/** At most five targets, likeliest first; none when nothing is near. */
export function nearestTargets(words: readonly string[], { names, find }: NameIndex): Target[] {
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
  const near = [...numbered, ...begun, ...nearSpellings(typed, looseKey(words), names)];
  return [...new Set(near.filter((target) => target !== null))].slice(0, MOST);
}

/**
 * Of the same catalogue: one wrong digit first, then the nearest number. Beyond the catalogue's last number only one
 * digit can be wrong, within it two.
 */
function nearNumbers(catalogue: string, wanted: number, names: readonly Name[]): Target[] {
  const pattern = new RegExp(`^${catalogue}(\\d+)$`);
  const numbers = names.flatMap(({ target, joined }) => {
    const number = pattern.exec(joined)?.[1];
    return number === undefined ? [] : [{ target, number }];
  });
  const last = numbers.reduce((most, { number }) => Math.max(most, Number(number)), 0);
  const most = wanted > last ? 1 : 2;
  const near = numbers
    .map(({ target, number }) => {
      return { target, slips: slips(number, String(wanted)), apart: Math.abs(Number(number) - wanted) };
    })
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

/** Added where the likeness is less plain than the number of slips says. */
const OTHER_FIRST_LETTER = 0.6;
const ONLY_THE_BEGINNING = 0.5;
const SAME_LETTERS = 0.1;
/** What is further behind the nearest than this was hardly meant. */
const STILL_NEAR = 0.7;
/** What sounds alike, however it is spelt, is as near as one slip and a half. */
const SOUNDS_ALIKE = 1.5;

/** Within about one slip in four letters, begun so, or sounding so; nearest first, the better known of two. */
function nearSpellings(typed: string, typedLoosely: string | null, names: readonly Name[]): Target[] {
  const forms = [...new Set([typed, typedLoosely ?? typed])];
  const sounds = forms.map(soundOf);
  const best = new Map<Target, number>();
  for (const [name, { target, sound }] of spellings(names)) {
    forms.forEach((form, index) => {
      const spelt = spelledAlike(form, name);
      const score = Math.min(
        spelt <= 2 && orderOnly(form, name) ? spelt - SAME_LETTERS : spelt,
        soundsAlike(form, sounds[index] as string, name, sound) ? SOUNDS_ALIKE : Number.POSITIVE_INFINITY,
      );
      if (score < (best.get(target) ?? Number.POSITIVE_INFINITY)) best.set(target, score);
    });
  }
  const nearest = Math.min(...best.values());
  return [...best]
    .filter(([, score]) => score <= nearest + STILL_NEAR)
    .sort((a, b) => a[1] - b[1])
    .map(([target]) => target)
    .slice(0, MOST);
}

/** Slips between two words, and what is added to them; Infinity where they are too many. */
function spelledAlike(form: string, name: string): number {
  const allowed = Math.max(1, Math.floor((form.length + 1) / 4));
  const canBegin = form.length >= LEAST_BEGUN && form[0] === name[0];
  if (form.length - name.length > allowed) return Number.POSITIVE_INFINITY;
  if (name.length - form.length > allowed && !canBegin) return Number.POSITIVE_INFINITY;
  const counts = slipsToBeginnings(form, name.slice(0, form.length + allowed));
  const whole = name.length - form.length <= allowed ? (counts[name.length] as number) : allowed + 1;
  if (whole <= allowed) return whole + (form[0] === name[0] ? 0 : OTHER_FIRST_LETTER);
  if (!canBegin) return Number.POSITIVE_INFINITY;
  const begun = Math.min(...counts.slice(form.length - 1, form.length + 2));
  return begun <= 1 ? begun + ONLY_THE_BEGINNING : Number.POSITIVE_INFINITY;
}

/** Heard alike, or but for the vowels where the words are as good as equally long. */
function soundsAlike(form: string, formSound: string, name: string, nameSound: string): boolean {
  if (formSound.charAt(0) !== nameSound.charAt(0)) return false;
  const consonants = consonantsOf(formSound);
  if (consonants.length < LEAST_CONSONANTS) return false;
  if (formSound === nameSound) return true;
  return Math.abs(form.length - name.length) <= 1 && consonants === consonantsOf(nameSound);
}

/** The same letters in another order are the likelier slip. */
function orderOnly(form: string, name: string): boolean {
  return form.length === name.length && [...form].sort().join() === [...name].sort().join();
}

/** Worked out at the first near miss of a catalogue and kept as long as its names. */
const SPELLINGS = new WeakMap<readonly Name[], ReadonlyMap<string, Spelling>>();

/** Names that can be misspelt, numbers aside, in full and without "the", "nebula" and such. */
function spellings(names: readonly Name[]): ReadonlyMap<string, Spelling> {
  const known = SPELLINGS.get(names);
  if (known) return known;
  const made = new Map<string, Spelling>();
  for (const { target, joined, spaced } of names) {
    if (/\d/.test(joined)) continue;
    for (const name of [joined, looseKey(spaced.split(" ")) ?? joined]) {
      if (!made.has(name)) made.set(name, { target, sound: soundOf(name) });
    }
  }
  SPELLINGS.set(names, made);
  return made;
}
