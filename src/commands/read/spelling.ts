/** The nearest valid word to one that was mistyped. */
import { distance } from "fastest-levenshtein";

/** The closest of `words` within half of the typed length (at least 1, at most 3 edits); null when none is near. */
export function nearest(typed: string, words: readonly string[]): string | null {
  const wanted = typed.toLowerCase();
  const allowed = Math.min(3, Math.max(1, Math.floor(wanted.length / 2)));
  let best: { word: string; edits: number } | null = null;
  for (const word of words) {
    const edits = distance(wanted, word.toLowerCase());
    const starts = wanted.length >= 3 && word.toLowerCase().startsWith(wanted);
    const score = starts ? 0.5 : edits;
    if ((starts || edits <= allowed) && score < (best?.edits ?? Number.POSITIVE_INFINITY)) {
      best = { word, edits: score };
    }
  }
  return best?.word ?? null;
}
