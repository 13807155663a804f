/** Completes what someone has begun to type. */

import type { Target } from "../target.js";
import type { Name } from "./index-of-names.js";
import { exactKey } from "./plain.js";

/**
 * A target and how well its best name fits what was typed: 0 exactly, 1 it begins so, 2 a word of it does, 3 nearly,
 * 4 inside.
 */
export interface Fit {
  readonly target: Target;
  readonly fit: number;
}

/** How well a name fits what was typed, best first. */
const EXACT = 0;
const STARTS = 1;
const WORD_STARTS = 2;
const NEARLY = 3;
const CONTAINS = 4;
/** From so many letters on a slip is allowed for. */
const LEAST_TOLERATED = 3;

/**
 * At most `limit` targets: exactly that name, then names starting so, then a word starting so, then anywhere inside.
 * @param leastInside fewer letters are not looked for inside a word
 */
export function startingWith(
  words: readonly string[],
  names: readonly Name[],
  limit: number,
  leastInside = 2,
): Fit[] {
  const typed = words.join("");
  const key = exactKey(words);
  const inside = ` ${words.join(" ")}`;
  const fits = new Map<Target, { fit: number; rank: number }>();
  for (const { target, rank, joined, spaced } of names) {
    const within = typed.length >= leastInside;
    const fit = fitOf(joined, spaced, typed, key, inside, within);
    if (fit !== null && fit < (fits.get(target)?.fit ?? CONTAINS + 1)) fits.set(target, { fit, rank });
  }
  const ordered = [...fits].sort(([, a], [, b]) => a.fit - b.fit || a.rank - b.rank);
  return ordered.slice(0, limit).map(([target, { fit }]) => ({ target, fit }));
}

/** The same, where nothing begins so with what begins nearly so. */
export function beginningNearly(
  words: readonly string[],
  names: readonly Name[],
  limit: number,
  near: (words: readonly string[], leastBegun: number) => readonly Target[],
): Fit[] {
  const found = startingWith(words, names, limit);
  const begun = found.some(({ fit }) => fit < NEARLY);
  if (begun || words.join("").length < LEAST_TOLERATED) return found;
  const nearly = near(words, LEAST_TOLERATED).map((target) => ({ target, fit: NEARLY }));
  const others = found.filter(({ target }) => !nearly.some((each) => each.target === target));
  return [...nearly, ...others].slice(0, limit);
}

function fitOf(
  joined: string,
  spaced: string,
  typed: string,
  key: string,
  inside: string,
  within: boolean,
): number | null {
  if (joined === key || joined === typed) return EXACT;
  if (joined.startsWith(key) || joined.startsWith(typed)) return STARTS;
  if (` ${spaced}`.includes(inside)) return WORD_STARTS;
  return within && spaced.includes(inside.trim()) ? CONTAINS : null;
}
