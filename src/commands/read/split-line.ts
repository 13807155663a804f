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

const CLOSING: Record<string, string> = { '"': '"', "“": "”", "„": "“" };

/**
 * Words from `from` on. Inside quotes, \" stands for a quote and \\ for a backslash.
 * A quote that is never closed is an ordinary character (5" is five seconds to some).
 */
export function splitLine(line: string, from: number, keys: readonly string[]): Word[] {
  const words: Word[] = [];
  let at = from;
  while (at < line.length) {
    if (/\s/.test(line.charAt(at))) {
      at++;
      continue;
    }
    const key = keyAt(line, at, keys);
    const value = valueAt(line, key ? skipSpace(line, key.end) : at);
    words.push({ ...value, key: key?.name ?? null });
    at = Math.max(value.end, at + 1);
  }
  return words;
}

/** Text as one quoted word that `splitLine` reads back unchanged. */
export function quoted(text: string): string {
  return `"${text.replace(/[\\"]/g, "\\$&")}"`;
}

function keyAt(line: string, at: number, keys: readonly string[]): { name: string; end: number } | null {
  const match = /^([a-z]+)[=:]/i.exec(line.slice(at, at + 40));
  const name = match?.[1]?.toLowerCase();
  return match && name !== undefined && keys.includes(name) ? { name, end: at + match[0].length } : null;
}

function skipSpace(line: string, from: number): number {
  let at = from;
  while (at < line.length && /\s/.test(line.charAt(at))) at++;
  return at;
}

function valueAt(line: string, start: number): Omit<Word, "key"> {
  return quotedAt(line, start) ?? plainAt(line, start);
}

function plainAt(line: string, start: number): Omit<Word, "key"> {
  let end = start;
  while (end < line.length && !/\s/.test(line.charAt(end))) end++;
  return { text: line.slice(start, end), quoted: false, start, end };
}

function quotedAt(line: string, start: number): Omit<Word, "key"> | null {
  const closing = CLOSING[line.charAt(start)];
  if (closing === undefined) return null;
  let text = "";
  for (let at = start + 1; at < line.length; at++) {
    const letter = line.charAt(at);
    if (letter === closing) return { text, quoted: true, start, end: at + 1 };
    if (letter === "\\" && /[\\"“”„]/.test(line.charAt(at + 1))) text += line.charAt(++at);
    else text += letter;
  }
  return null;
}
