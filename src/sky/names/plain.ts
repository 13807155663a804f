/** What people type as bare lower-case words: accents, apostrophes, dashes, control and direction marks don't count. */

/** Text beyond this many characters isn't looked at: no name is so long, and work stays bounded. */
export const LONGEST_NAME = 120;

/** Words that may stand in or be left out of a name. */
const OPTIONAL_WORDS = new Set(
  "the a an of nebula nebulae galaxy galaxies cluster clusters star planet object globular open".split(" "),
);
/** Which types the words for a kind can mean. What was once called a nebula is still called so by some: galaxies. */
const KINDS: Readonly<Record<string, RegExp>> = {
  ...{
    nebula: /nebula|remnant|galaxy/,
    nebulae: /nebula|remnant|galaxy/,
    galaxy: /galaxy/,
    galaxies: /galaxy/,
  },
  ...{
    cluster: /cluster|asterism/,
    clusters: /cluster|asterism/,
    globular: /globular/,
    open: /open|with nebula/,
  },
  ...{ star: /star|cluster|quasar/, planet: /planet/ },
};

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
  const telling = words.filter((word, index) => !OPTIONAL_WORDS.has(word) || isLetterA(words, index));
  return telling.length === 0 ? null : telling.join("");
}

/** "Taurus A" is a radio source, and no article. */
function isLetterA(words: readonly string[], index: number): boolean {
  return index > 0 && index === words.length - 1 && words[index] === "a";
}

/** Whether the words for a kind among these, if there are any, allow a target's type. */
export function isOfKind({ type }: { readonly type: string }, words: readonly string[]): boolean {
  const kinds = words.flatMap((word) => KINDS[word] ?? []);
  return kinds.length === 0 || kinds.some((kind) => kind.test(type));
}
