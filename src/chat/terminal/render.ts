/** Replies and notices as plain text for a terminal of any width. */
import { toLine } from "../../commands/read/parse-text.js";
import type { Reply, Table } from "../../commands/reply.js";
import { commandTable } from "../../commands/table.js";
import type { Notice } from "../../journal/notice.js";
import { bold, clean, dim, phraseText, type TerminalStyle, widthOf } from "./style.js";

/** Signs that say the tone without colour. */
const TONE_SIGN: Record<Reply["tone"], string> = { answer: "•", done: "✓", warning: "!", refused: "✗" };

/** A reply; `saved` are the places of pictures and files that came with it. */
export function replyText(reply: Reply, style: TerminalStyle, saved: readonly string[] = []): string {
  const lines = [`${TONE_SIGN[reply.tone]} ${bold(clean(reply.title), style.effects)}`];
  for (const line of reply.lines) lines.push(`  ${phraseText(line, style)}`);
  for (const field of reply.fields ?? []) {
    lines.push(`  ${clean(field.name)}: ${phraseText(field.value, style)}`);
  }
  if (reply.table) lines.push(...tableText(reply.table, style).map((line) => `  ${line}`));
  for (const place of saved) lines.push(`  ${place}`);
  const actions = (reply.actions ?? []).map(
    (action) => `${clean(action.label)}: ${clean(toLine(action, commandTable))}`,
  );
  if (actions.length > 0) lines.push(dim(`  ${actions.join("   ")}`, style.effects));
  return lines.join("\n");
}

/** A notice for the reader (in full) or about somebody else (one line). */
export function noticeText(
  notice: Notice,
  style: TerminalStyle,
  forReader: boolean,
  dataFolder: string,
): string {
  const title = clean(notice.title);
  if (!forReader) return dim(`· ${title}`, style.effects);
  const lines = [`◆ ${bold(title, style.effects)}`];
  for (const line of notice.lines) lines.push(`  ${phraseText(line, style)}`);
  if (notice.attachment) lines.push(`  Picture: ${dataFolder}/${notice.attachment.file}`);
  if (notice.attachment?.altText) lines.push(`  It shows: ${clean(notice.attachment.altText)}`);
  return lines.join("\n");
}

function tableText(table: Table, style: TerminalStyle): string[] {
  const own = new Set(table.ownRows);
  const rows = table.rows.map((row, index) => [
    own.has(index) ? "▸" : " ",
    ...row.map((cell) => phraseText(cell, style)),
  ]);
  const header = ["", ...table.columns.map((column) => bold(clean(column), style.effects))];
  const widths = header.map((cell, column) =>
    Math.max(widthOf(cell), ...rows.map((row) => widthOf(row[column] ?? ""))),
  );
  return [header, ...rows].map((row) =>
    row
      .map((cell, column) => cell + " ".repeat((widths[column] ?? 0) - widthOf(cell)))
      .join("  ")
      .trimEnd(),
  );
}
