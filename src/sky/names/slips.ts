/** How far a word is from another: slips of the fingers, and likeness of sound. */

/**
 * Letters left out, put in, mistaken or swapped with their neighbour, as few as make one word of the other
 * (Damerau 1964, Communications of the ACM 7, 171; no letter is changed twice).
 */
export function slips(one: string, other: string): number {
  return slipsToBeginnings(one, other)[other.length] as number;
}

/**
 * The same from a word to every beginning of another, by the length of the beginning. Counts beyond `most` are given
 * as some number beyond it, so that words far apart are soon done with.
 */
export function slipsToBeginnings(
  one: string,
  other: string,
  most = Math.max(one.length, other.length),
): readonly number[] {
  let beforeLast: number[] = [];
  let last = Array.from({ length: other.length + 1 }, (_, index) => index);
  let fewest = 0;
  for (let i = 1; i <= one.length; i++) {
    const row = new Array<number>(other.length + 1).fill(most + 1);
    row[0] = i;
    const fewestBefore = fewest;
    fewest = i;
    for (let j = Math.max(1, i - most); j <= Math.min(other.length, i + most); j++) {
      const same = one[i - 1] === other[j - 1] ? 0 : 1;
      let least = Math.min(at(last, j) + 1, at(row, j - 1) + 1, at(last, j - 1) + same);
      const swapped = i > 1 && j > 1 && one[i - 1] === other[j - 2] && one[i - 2] === other[j - 1];
      if (swapped) least = Math.min(least, at(beforeLast, j - 2) + 1);
      row[j] = least;
      fewest = Math.min(fewest, least);
    }
    // A swap looks back two rows; behind two that are beyond it all others are.
    if (fewest > most && fewestBefore > most) return row.fill(most + 1);
    beforeLast = last;
    last = row;
  }
  return last;
}

function at(row: readonly number[], index: number): number {
  return row[index] as number;
}

/** Spellings of one sound in English, applied in this order. Our own table. */
const SOUNDS: readonly (readonly [RegExp, string])[] = [
  [/[^a-z]/g, ""],
  [/ph/g, "f"],
  [/tch/g, "ch"],
  [/ch|ck|kh|q/g, "k"],
  [/x/g, "ks"],
  [/s?c(?=[eiy])/g, "s"],
  [/c/g, "k"],
  [/dg(?=[eiy])|g(?=[eiy])/g, "j"],
  [/gh/g, ""],
  [/z/g, "s"],
  [/[aeiouyhw]+/g, "a"],
  [/(?<=.)a$/, ""],
  [/(.)\1+/g, "$1"],
];

/** A word as it is heard, every vowel one "a": "batalajas" for Betelgeuse and for beetlejuice. */
export function soundOf(word: string): string {
  return SOUNDS.reduce((text, [pattern, instead]) => text.replace(pattern, instead), word);
}

/** A sound without the vowels inside it; three consonants or more are something to go by. */
export function consonantsOf(sound: string): string {
  return sound.charAt(0) + sound.slice(1).replace(/a/g, "");
}
