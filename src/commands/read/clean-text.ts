/** What people type, made safe to keep and to show: no control or direction-changing characters, of bounded length. */
import { Refusal } from "../../base/refusal.js";

/**
 * Controls, direction marks and overrides, invisible fillers, blanks drawn as letters and lone surrogates. What
 * joins letters or chooses a picture's form stays: several scripts and most emoji need it.
 */
const UNSEEN =
  /(?![\u200c\u200d]|[\ufe0e\ufe0f])[\p{Cc}\p{Cs}\p{Default_Ignorable_Code_Point}\u2028\u2029\u2800\ufff9-\ufffb]/gu;

/** One line: NFC, unseen characters made spaces, runs of space made one. Never throws. */
export function cleanText(text: string): string {
  return text.normalize("NFC").replace(UNSEEN, " ").replace(/\s+/gu, " ").trim();
}

/**
 * Cleaned text of at most `longest` characters.
 * @param what names the text in the refusal: "a note", "a reason"
 * @throws {Refusal} code "too-long", with both lengths
 */
export function cleanTextWithin(text: string, longest: number, what: string): string {
  const cleaned = cleanText(text.length > longest * 8 ? text.slice(0, longest * 8) : text);
  const length = Math.max([...cleaned].length, text.length > longest * 8 ? text.length : 0);
  if (length <= longest) return cleaned;
  throw new Refusal(
    "too-long",
    `That is ${length.toLocaleString("en-GB")} characters; ${what} may have at most ${longest}. Say it in fewer words.`,
  );
}
