/** What people type as bare lower-case words: accents, apostrophes, dashes, control and direction marks don't count. */

/** Text beyond this many characters isn't looked at: no name is so long, and work stays bounded. */
export const LONGEST_NAME = 120;

/** Words that may stand in or be left out of a name. */
const OPTIONAL_WORDS = new Set(
  "the a an of nebula nebulae galaxy galaxies cluster clusters star planet object globular open".split(" "),
);

/** Lower-case words of letters and digits, in order; at most LONGEST_NAME characters are read. */
export function plainWords(text: string): string[] {
  const plain = /^[ A-Za-z0-9]{1,120}$/.test(text) ? text.toLowerCase().trim() : withoutMarks(text);
  return plain === "" ? [] : plain.split(/ +/);
}

function withoutMarks(text: string): string {
  return text
    .slice(0, LONGEST_NAME)
    .normalize("NFKD")
    .replace(/[\p{M}\p{Cf}'’‘ʼ`´′]/gu, "")
    .toLowerCase()
    .replace(/ς/g, "σ")
    .replace(/[^\p{L}\p{N}]+/gu, " ")
    .trim();
}

/** Words run together, so that "Cat's Eye", "cats-eye" and "catseye" are one; numbers of a catalogue lose their zeros. */
export function exactKey(words: readonly string[]): string {
  return words.join("").replace(/^(\D+?)0+(?=\d)/, "$1");
}

/** The same without "the", "nebula" and their like; null when nothing but such words is left. */
export function looseKey(words: readonly string[]): string | null {
  const telling = words.filter((word) => !OPTIONAL_WORDS.has(word));
  return telling.length === 0 ? null : telling.join("");
}
