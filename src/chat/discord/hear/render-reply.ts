/** A command's answer as one message: the answer first, then what belongs to it. */
import { type APIEmbed, MessageFlags } from "discord.js";
import type { Phrase } from "../../../base/phrase.js";
import type { Reply, Table } from "../../../commands/reply.js";
import { NOBODY_MENTIONED, type Outgoing, type OutgoingFile } from "../deliver/outgoing.js";
import {
  ALT_TEXT,
  CONTENT,
  EMBED_DESCRIPTION,
  EMBED_FIELDS,
  EMBED_TOTAL,
  FIELD_NAME,
  FIELD_VALUE,
  FILES,
  within,
} from "../limits.js";
import { escapeText, phraseText } from "../text.js";
import { buttonRows, fitsButton } from "./buttons.js";

/** The tone as a sign that is read and as a colour, never as a colour alone. */
const TONES: Record<Reply["tone"], { readonly sign: string; readonly colour: number }> = {
  answer: { sign: "•", colour: 0x5b7fa6 },
  done: { sign: "✓", colour: 0x4f8a5b },
  warning: { sign: "!", colour: 0xb98a2f },
  refused: { sign: "✗", colour: 0xa65050 },
};

export interface ReplyOptions {
  /** A person's name as the reader may see it. */
  readonly nameOf: (personId: string) => string;
  /** Largest file accepted here, bytes. */
  readonly uploadBytes: number;
  /** Pictures of the frames that the answer is about; none unless given. */
  readonly frames?: readonly OutgoingFile[];
}

/** The message for a reply, which only the asker sees. */
export function renderReply(reply: Reply, options: ReplyOptions): Outgoing {
  const line = (phrase: Phrase): string => phraseText(phrase, (id) => escapeText(options.nameOf(id)));
  const { files, tooLarge } = filesOf(reply, options);
  const lines = [...reply.lines.map(line), ...tooLarge.map(escapeText)];
  const head = `${TONES[reply.tone].sign} **${escapeText(reply.title)}**`;
  const short = [head, ...lines].join("\n");
  const fits = short.length <= CONTENT;
  const embed = embedOf(reply, fits ? [] : lines, line);
  return {
    content: fits ? short : within(head, CONTENT),
    embeds: embed ? [embed] : [],
    components: buttonRows((reply.actions ?? []).filter(fitsButton)),
    allowed_mentions: NOBODY_MENTIONED,
    flags: MessageFlags.Ephemeral,
    files,
  };
}

function embedOf(reply: Reply, lines: readonly string[], line: (phrase: Phrase) => string): APIEmbed | null {
  const fields = (reply.fields ?? []).slice(0, EMBED_FIELDS).map((field) => ({
    name: within(escapeText(field.name), FIELD_NAME) || "\u200b",
    value: within(line(field.value), FIELD_VALUE) || "\u200b",
    inline: true,
  }));
  const rows = reply.table ? tableLines(reply.table, line) : [];
  const used = fields.reduce((sum, field) => sum + field.name.length + field.value.length, 0);
  const room = Math.max(0, Math.min(EMBED_DESCRIPTION, EMBED_TOTAL - used));
  const description = fitLines([...lines, ...rows], room);
  const kept = used > EMBED_TOTAL ? fieldsWithin(fields, EMBED_TOTAL) : fields;
  if (!description && kept.length === 0) return null;
  return {
    color: TONES[reply.tone].colour,
    ...(description ? { description } : {}),
    ...(kept.length > 0 ? { fields: kept } : {}),
  };
}

/** One line for each row, the reader's own marked by a sign as well as by weight. */
function tableLines(table: Table, line: (phrase: Phrase) => string): string[] {
  const own = new Set(table.ownRows);
  const header = table.columns.length > 0 ? [`__${table.columns.map(escapeText).join(" · ")}__`] : [];
  const rows = table.rows.map((cells, index) => {
    const text = cells
      .map(line)
      .filter((cell) => cell !== "")
      .join(" · ");
    return own.has(index) ? `▸ **${text.replaceAll("**", "")}**` : text;
  });
  return [...header, ...rows];
}

/** As many lines as fit; what is left out is counted. */
function fitLines(lines: readonly string[], room: number): string {
  const kept: string[] = [];
  let used = 0;
  for (const [index, each] of lines.entries()) {
    const text = within(each, Math.max(1, Math.min(room, 1_000)));
    const rest = lines.length - index;
    const tail = rest > 1 ? `\n… and ${rest - 1} more lines`.length : 0;
    if (used + text.length + 1 + tail > room) {
      const left = `… and ${rest} more ${rest === 1 ? "line" : "lines"}`;
      return [...kept, left].join("\n").slice(0, room);
    }
    kept.push(text);
    used += text.length + 1;
  }
  return kept.join("\n");
}

function fieldsWithin<F extends { name: string; value: string }>(fields: readonly F[], room: number): F[] {
  let used = 0;
  return fields.filter((field) => {
    used += field.name.length + field.value.length;
    return used <= room;
  });
}

function filesOf(
  reply: Reply,
  { uploadBytes, frames = [] }: ReplyOptions,
): { files: OutgoingFile[]; tooLarge: string[] } {
  const all: OutgoingFile[] = (reply.downloads ?? []).map((each) => ({
    name: each.fileName,
    data: Buffer.from(each.content),
    contentType: each.mediaType,
    altText: null,
  }));
  if (reply.picture)
    all.unshift({
      name: reply.picture.fileName,
      data: Buffer.from(reply.picture.png),
      contentType: "image/png",
      altText: within(reply.picture.altText, ALT_TEXT),
    });
  return sortBySize([...all, ...frames], uploadBytes);
}

/** Splits files into those the platform takes here and a sentence for each it does not. */
export function sortBySize(
  all: readonly OutgoingFile[],
  uploadBytes: number,
): { files: OutgoingFile[]; tooLarge: string[] } {
  const fits = (file: OutgoingFile): boolean => file.data.length <= uploadBytes;
  return {
    files: all.filter(fits).slice(0, FILES),
    tooLarge: all.filter((file) => !fits(file)).map((file) => tooLargeSentence(file, uploadBytes)),
  };
}

function tooLargeSentence(file: OutgoingFile, uploadBytes: number): string {
  const size = `${file.name} (${(file.data.length / 1024 / 1024).toFixed(1)} MiB) is larger than Discord takes here`;
  const most = uploadBytes > 0 ? ` (${(uploadBytes / 1024 / 1024).toFixed(1)} MiB)` : "";
  return `${size}${most}: ask your instructor for it; it is kept with the observatory's files.`;
}
