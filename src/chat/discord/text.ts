/** Text as the platform shows it: everything escaped but our own times, mentions and emphasis. */
import { type Phrase, type PhraseStyle, renderPhrase, type TimePart } from "../../base/phrase.js";

/**
 * Plain text that can do nothing: no markdown, mention, custom emoji, link or line break of its own.
 * The app shows a card for an invitation even without a scheme ("host.tld/…"), so that is broken too.
 * discord.js's own escaper leaves links, `<…>` and line breaks as they are, so it is not enough here.
 */
export function escapeText(text: string): string {
  return text
    .replace(/[\p{Cc}\u200e\u200f\u2028\u2029\u202a-\u202e\u2066-\u2069]+/gu, " ")
    .replace(/[\\*_~`|[\]<>]/g, "\\$&")
    .replace(/@/g, "@\u200b")
    .replace(/:\/\//g, ":\u200b//")
    .replace(/\.(?=\p{L}{2,}\/)/gu, ".\u200b")
    .replace(/^(\s*)([-+#]+)(?=\s|$)/, "$1\\$2")
    .replace(/^(\s*\d+)\.(?=\s|$)/, "$1\\.");
}

/** `<t:…>`: each reader's app shows it in the reader's own zone and language. */
export function timestamp({ timeUnixMs, style }: TimePart): string {
  const letter = { clock: "t", day: "D", both: "f", relative: "R" }[style];
  return `<t:${Math.floor(timeUnixMs / 1000)}:${letter}>`;
}

/** Strong text, escaped. */
export function bold(text: string): string {
  return text.trim() === "" ? escapeText(text) : `**${escapeText(text.trim())}**`;
}

/** A command as it is filled in: in code, where nothing is markup. */
function code(text: string): string {
  return `\`${text.replace(/[`\p{Cc}]/gu, "'")}\``;
}

/** A phrase as one line; `person` says how people are shown (a name already escaped, or a mention). */
export function phraseText(phrase: Phrase, person: (personId: string) => string): string {
  const style: PhraseStyle = { text: escapeText, time: timestamp, person, strong: bold, form: code };
  return renderPhrase(phrase, style);
}

/** A name as other people may see it: no control characters, no direction changes, not too long. */
export function cleanName(name: string): string {
  const plain = name
    .normalize("NFC")
    .replace(/[\p{Cc}\p{Cf}\u2028\u2029]+/gu, " ")
    .replace(/\s+/g, " ")
    .trim();
  return [...plain].slice(0, 40).join("").trim() || "Someone";
}
