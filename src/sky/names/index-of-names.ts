/** Finds a target by any of its names. Built once; of two targets with one name the earlier keeps it. */

import type { Target } from "../target.js";
import { designationKey, readDesignation } from "./designations.js";
import { starKeys } from "./letters.js";
import { exactKey, isOfKind, looseKey } from "./plain.js";

/** One written name of a target, as bare words. */
export interface Name {
  readonly target: Target;
  /** Place of the target in the catalogue. */
  readonly rank: number;
  /** Run together: "catseyenebula". */
  readonly joined: string;
  /** With spaces: "cats eye nebula". */
  readonly spaced: string;
}

export interface NameIndex {
  /** All names, in the catalogue's order. */
  readonly names: readonly Name[];
  /** Whether a target has exactly that name, nothing left aside. */
  has(words: readonly string[]): boolean;
  /**
   * The target with exactly that name, designation or star letters; else with "the", "nebula" and such left aside,
   * where they do not say that it is something else ("Saturn galaxy" is not Saturn); else one that is named twice in a row, as "Hercules Cluster (M13)".
   */
  find(words: readonly string[]): Target | null;
}

/** @param written the targets with all their names as bare words with spaces, most sought first */
export function indexNames(written: readonly { target: Target; names: readonly string[] }[]): NameIndex {
  const exact = new Map<string, Target>();
  const loose = new Map<string, Target>();
  const names: Name[] = [];
  const unnumbered: [string, Target][] = [];
  const put = (map: Map<string, Target>, key: string, target: Target) => {
    if (!map.has(key)) map.set(key, target);
  };
  written.forEach((each, rank) => {
    const { target } = each;
    for (const spaced of each.names) {
      const words = spaced.split(" ");
      const joined = keyOf(words);
      names.push({ target, rank, joined, spaced });
      put(exact, joined, target);
      const short = words.length > 1 ? looseKey(words) : null;
      if (short !== null && short !== joined) put(loose, short, target);
      const [starred, shared] = starKeys(words);
      if (starred) put(exact, starred, target);
      if (shared) unnumbered.push([shared, target]);
    }
  });
  // A star's letter without the index number goes to the first star that has it, after all exact ones.
  for (const [key, target] of unnumbered) put(exact, key, target);
  return { names, has: (words) => exact.has(keyOf(words)), find: (words) => find(words, exact, loose) };
}

type Names = ReadonlyMap<string, Target>;

/** Longest run of words that is tried as two names of one target. */
const MOST_WORDS = 10;

function find(words: readonly string[], exact: Names, loose: Names): Target | null {
  const whole = findWhole(words, exact, loose);
  if (whole || words.length > MOST_WORDS) return whole;
  // "Hercules Cluster (M13)", "NGC 7000 North America": both halves name the same target.
  for (let cut = 1; cut < words.length; cut++) {
    const front = findWhole(words.slice(0, cut), exact, loose);
    if (front && front === find(words.slice(cut), exact, loose)) return front;
  }
  return null;
}

function findWhole(words: readonly string[], exact: Names, loose: Names): Target | null {
  const whole = [keyOf(words), ...starKeys(words)].map((key) => exact.get(key)).find(Boolean);
  if (whole) return whole;
  const short = looseKey(words) ?? "";
  const found = exact.get(short) ?? loose.get(short) ?? null;
  return found && (/\d/.test(short) || isOfKind(found, words)) ? found : null;
}

function keyOf(words: readonly string[]): string {
  const designation = readDesignation(words);
  return designation ? designationKey(designation) : exactKey(words);
}
