/** What someone may have meant whose words fit no name: the nearest names and numbers. */
import { distance } from "fastest-levenshtein";
import { catalogueNamed, readDesignation } from "./names-designations.js";
import type { Name, NameIndex } from "./names-index.js";
import { exactKey, looseKey } from "./names-plain.js";
import { startingWith } from "./names-start.js";
import type { Target } from "./target.js";

/** Suggestions at most. */
const MOST = 5;
/** Words longer than this are no slip of the pen. */
const LONGEST = 40;

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
  const begun = startingWith(words, names, MOST).map(({ target }) => target);
  const numbered = words.filter((word) => /\d/.test(word)).map((word) => find([word]));
  const near = [...numbered, ...begun, ...nearSpellings(typed, looseKey(words), names)];
  return [...new Set(near.filter((target) => target !== null))].slice(0, MOST);
}

/** Of the same catalogue: one wrong digit first, then the nearest number. */
function nearNumbers(catalogue: string, wanted: number, names: readonly Name[]): Target[] {
  const pattern = new RegExp(`^${catalogue}(\\d+)$`);
  const near = names.flatMap(({ target, joined }) => {
    const number = pattern.exec(joined)?.[1];
    if (number === undefined) return [];
    return [{ target, slips: distance(number, String(wanted)), apart: Math.abs(Number(number) - wanted) }];
  });
  near.sort((a, b) => a.slips - b.slips || a.apart - b.apart);
  return [...new Set(near.map(({ target }) => target))].slice(0, MOST);
}

/** "13" may be M13, C13 or NGC 13. */
function bareNumber(digits: string, names: readonly Name[]): Target[] {
  const wanted = ["m", "ngc", "c", "ic"].map((catalogue) => catalogue + Number(digits));
  const found = wanted.map((key) => names.find(({ joined }) => joined === key)?.target);
  return [...new Set(found.filter((target) => target !== undefined))];
}

/** Within about one edit in four letters, nearest first. */
function nearSpellings(typed: string, typedLoosely: string | null, names: readonly Name[]): Target[] {
  const forms = [...new Set([typed, typedLoosely ?? typed])];
  const best = new Map<Target, number>();
  for (const [name, target] of spellings(names)) {
    for (const form of forms) {
      const allowed = Math.max(1, Math.floor((form.length + 1) / 4));
      if (Math.abs(form.length - name.length) > allowed) continue;
      const edits = distance(form, name);
      if (edits <= allowed && edits < (best.get(target) ?? Number.POSITIVE_INFINITY)) best.set(target, edits);
    }
  }
  return [...best]
    .sort((a, b) => a[1] - b[1])
    .map(([target]) => target)
    .slice(0, MOST);
}

/** Worked out at the first near miss of a catalogue and kept as long as its names. */
const SPELLINGS = new WeakMap<readonly Name[], ReadonlyMap<string, Target>>();

/** Names that can be misspelt, numbers aside, in full and without "the", "nebula" and such. */
function spellings(names: readonly Name[]): ReadonlyMap<string, Target> {
  const known = SPELLINGS.get(names);
  if (known) return known;
  const made = new Map<string, Target>();
  for (const { target, joined, spaced } of names) {
    if (/\d/.test(joined)) continue;
    for (const name of [joined, looseKey(spaced.split(" ")) ?? joined]) {
      if (!made.has(name)) made.set(name, target);
    }
  }
  SPELLINGS.set(names, made);
  return made;
}
