/** The platform's documented limits ("Message", "Embed", "Component", "Application Command" objects). */

/** Characters of a message's text. */
export const CONTENT = 2_000;
export const EMBED_DESCRIPTION = 4_096;
export const EMBED_FIELDS = 25;
export const FIELD_NAME = 256;
export const FIELD_VALUE = 1_024;
/** Characters of all embeds of a message together. */
export const EMBED_TOTAL = 6_000;
export const ALT_TEXT = 1_024;
export const FILES = 10;
export const BUTTONS = 25;
export const BUTTONS_IN_A_ROW = 5;
export const BUTTON_LABEL = 80;
export const CUSTOM_ID = 100;
/** People in `allowed_mentions`. */
export const MENTIONS = 100;
export const CHOICES = 25;
export const CHOICE_TEXT = 100;
export const DESCRIPTION = 100;
/** Options of a command. */
export const OPTIONS = 25;

/** Largest file, bytes, by a server's boost tier; the first also holds for direct messages. */
export const UPLOAD_BYTES = [10, 10, 50, 100].map((mebibytes) => mebibytes * 1024 * 1024);

/** Text within a limit; what is cut is replaced by an ellipsis. */
export function within(text: string, limit: number): string {
  if (text.length <= limit) return text;
  const cut = text.slice(0, limit - 1);
  // Never half a surrogate pair, never a lone escaping backslash.
  return `${cut.replace(/[\ud800-\udbff]$/, "").replace(/\\$/, "")}…`;
}
