/** Cuts a typed line into words, keeping "quoted words" whole and remembering where each stood. */

/** One word of a line. */
export interface Word {
  /** Without its quotes. */
  readonly text: string;
  readonly quoted: boolean;
  /** Set for name=value and name:"value" where `name` is one of the known names. */
  readonly key: string | null;
  /** Where it begins and ends in the line; for a keyed word, where its value does. */
  readonly start: number;
  readonly end: number;
}

const SPECIAL = '[\\\\"“”„]';
const QUOTED = ['""', "“”", "„“"]
  .map(([open, close]) => `${open}((?:\\\\${SPECIAL}|\\\\(?!${SPECIAL})|[^${close}\\\\])*)${close}`)
  .join("|");

/**
 * Words from `from` on. Inside quotes, \" stands for a quote and \\ for a backslash.
 * A quote that is never closed is an ordinary character (5" is five seconds to some).
 */
export function splitLine(line: string, from: number, keys: readonly string[]): Word[] {
  const word = new RegExp(`(?=\\S)(?:(${keys.join("|") || "(?!)"})[=:]\\s*)?(${QUOTED}|\\S*)`, "gi");
  word.lastIndex = from;
  return [...line.matchAll(word)].map((match) => {
    const [whole, key, value = "", ...inside] = match;
    const within = inside.find((each) => each !== undefined);
    const end = match.index + whole.length;
    return {
      text: within?.replace(new RegExp(`\\\\(${SPECIAL})`, "g"), "$1") ?? value,
      quoted: within !== undefined,
      key: key?.toLowerCase() ?? null,
      start: end - value.length,
      end,
    };
  });
}

/** Text as one quoted word that `splitLine` reads back unchanged. */
export function quoted(text: string): string {
  return `"${text.replace(/[\\"]/g, "\\$&")}"`;
}
