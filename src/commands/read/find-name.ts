/** Finds what is named in a sentence: the likeliest run of words that the catalogue knows. */
import type { Catalogue, LookUp } from "../../sky/names/catalogue.js";
import { BESIDE } from "./wish-words.js";

/** A run of words of a text, and what it names. */
export interface FoundName {
  readonly start: number;
  readonly end: number;
  readonly text: string;
  readonly looked: LookUp;
}

/** A name has no more words than this. */
const MOST_WORDS = 7;
/** Longer sentences are looked through so far. */
const MOST_TOKENS = 40;
const TOKEN = /[^\s,;|¦()[\]{}"“”„!?…:]+/gu;
/** "M51R2min": a designation with something stuck to it. */
const STUCK = /^((?:m|ngc|ic|caldwell|messier|c|sh2-)\d{1,4})(?=[a-zα-ω][a-z\d])/i;

interface Token {
  readonly start: number;
  readonly end: number;
  readonly text: string;
}

/** The best name in a text; null where nothing is named. */
export function nameIn(text: string, catalogue: Catalogue): FoundName | null {
  let best: { name: FoundName; rank: number; letters: number } | null = null;
  const tokens = tokensOf(text);
  const known = new Map<string, LookUp>();
  for (let first = 0; first < tokens.length; first++) {
    for (let last = Math.min(first + MOST_WORDS, tokens.length) - 1; last >= first; last--) {
      const run = tokens.slice(first, last + 1);
      if (!canName(run, text, tokens[first - 1]?.text)) continue;
      const { start } = run[0] as Token;
      const { end } = run.at(-1) as Token;
      const words = text.slice(start, end);
      const looked = known.get(words) ?? catalogue.lookUp(words);
      known.set(words, looked);
      const rank = rankOf(looked, words);
      if (rank === 0) continue;
      const letters = run.reduce((sum, each) => sum + each.text.length, 0);
      const found = { rank, letters, start, end };
      if (!best || isBetter(found, { ...best, ...best.name }))
        best = { name: { start, end, text: words, looked }, rank, letters };
    }
  }
  return best?.name ?? null;
}

interface Candidate {
  readonly rank: number;
  readonly letters: number;
  readonly start: number;
  readonly end: number;
}

/** A name that holds the other is meant ("coma cluster", not "coma"); else the surer, then the longer. */
function isBetter(found: Candidate, best: Candidate): boolean {
  if (best.start <= found.start && found.end <= best.end) return false;
  if (found.start <= best.start && best.end <= found.end) return true;
  return found.rank > best.rank || (found.rank === best.rank && found.letters > best.letters);
}

/** The words of a text with where they stand; full stops and the like at their ends are no part of them. */
export function tokensOf(text: string): Token[] {
  return [...text.matchAll(TOKEN)]
    .slice(0, MOST_TOKENS)
    .flatMap((match) => {
      const word = match[0].replace(/[.:'’*~_]+$/u, (end) => (end === "*" ? end : ""));
      const stuck = STUCK.exec(word)?.[1];
      const pieces = stuck === undefined ? [word] : [stuck, word.slice(stuck.length)];
      return pieces.map((piece, index) => {
        const start = match.index + (index === 0 ? 0 : (stuck as string).length);
        return { start, end: start + piece.length, text: piece };
      });
    })
    .filter((each) => each.text !== "");
}

/** Neither begins nor ends with small talk, stands together, and joins no two numbers; "2 m 3" is a time. */
function canName(run: readonly Token[], text: string, before = ""): boolean {
  const words = run.map((each) => each.text.toLowerCase());
  const [front, back] = [words[0] as string, words.at(-1) as string];
  if (BESIDE.has(front) || (BESIDE.has(back) && !(back === "a" && run.length > 1))) return false;
  if (front === "m" && /^\d+$/.test(before)) return false;
  return run.every((each, index) => {
    const next = run[index + 1];
    if (!next) return true;
    const apart = text.slice(each.end, next.start);
    if (!/^ +$/.test(apart)) return false;
    return !(/\d$/.test(each.text) && /^\d/.test(next.text) && !/^sh2$/i.test(each.text));
  });
}

/** One target, or what is refused by name, before a group, a constellation, a kind; numbers alone may be anything. */
function rankOf(looked: LookUp, text: string): number {
  if (looked.found) return !/^J\d/.test(looked.found.id) || /[+−-]\s?\d/.test(text) ? 4 : 0;
  if ("refused" in looked) return looked.refused === "sun" || looked.refused === "no-target" ? 4 : 0;
  if (!("several" in looked)) return 0;
  return { group: 3, constellation: 2, kind: 1 }[looked.several.what];
}
