/** Header cards of a FITS file: 80 characters each, in blocks of 2880 bytes (FITS Standard 4.0, section 4). */
import { Refusal } from "../../base/refusal.js";

export const BLOCK_BYTES = 2880;
const CARD_BYTES = 80;

/** One header entry; COMMENT and HISTORY carry text only. */
export interface Card {
  /** At most eight of A–Z, 0–9, dash and underscore. */
  readonly keyword: string;
  readonly value: string | number | boolean;
  readonly comment?: string;
}

/** A header's bytes: the cards, END, and blanks up to a whole block. */
export function encodeHeader(cards: readonly Card[]): Buffer {
  const text = [...cards.map(encodeCard), "END".padEnd(CARD_BYTES)].join("");
  return Buffer.from(text.padEnd(Math.ceil(text.length / BLOCK_BYTES) * BLOCK_BYTES), "latin1");
}

/**
 * Reads the header at the start of a file.
 * @returns the cards before END, and where the data begins
 * @throws {Refusal} code "fits-unreadable"
 */
export function decodeHeader(bytes: Uint8Array): { cards: Card[]; dataOffset: number } {
  const text = Buffer.from(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  const cards: Card[] = [];
  for (let offset = 0; offset + CARD_BYTES <= text.length; offset += CARD_BYTES) {
    const line = text.toString("latin1", offset, offset + CARD_BYTES);
    if (offset === 0 && !line.startsWith("SIMPLE  ="))
      throw new Refusal("fits-unreadable", "This is not a FITS file: it does not begin with SIMPLE.");
    if (line.trimEnd() === "END")
      return { cards, dataOffset: Math.ceil((offset + CARD_BYTES) / BLOCK_BYTES) * BLOCK_BYTES };
    const card = decodeCard(line);
    if (card) cards.push(card);
  }
  throw new Refusal("fits-unreadable", "This FITS file has no end of header: it may have been cut short.");
}

/** Greek letters spelt out, accents taken off, anything else that is not printable ASCII as "?". */
export function asciiText(text: string): string {
  const spelt = text.replace(/α/g, "alpha").replace(/β/g, "beta").replace(/°/g, " deg");
  return spelt
    .normalize("NFKD")
    .replace(/\p{M}/gu, "")
    .replace(/[^\x20-\x7e]/g, "?");
}

function encodeCard({ keyword, value, comment }: Card): string {
  if (keyword === "COMMENT" || keyword === "HISTORY")
    return `${keyword.padEnd(8)}${asciiText(String(value))}`.slice(0, CARD_BYTES).padEnd(CARD_BYTES);
  const note = comment === undefined ? "" : ` / ${asciiText(comment)}`;
  return `${keyword.padEnd(8)}= ${encodeValue(value)}${note}`.slice(0, CARD_BYTES).padEnd(CARD_BYTES);
}

/** Fixed format: text from column 11, a logical or a number up to column 30 (sections 4.2.1 to 4.2.4). */
function encodeValue(value: Card["value"]): string {
  if (typeof value === "string") {
    let text = asciiText(value);
    while (text.replace(/'/g, "''").length > 68) text = text.slice(0, -1);
    return `'${text.replace(/'/g, "''").padEnd(8)}'`.padEnd(20);
  }
  if (typeof value === "boolean") return (value ? "T" : "F").padStart(20);
  return String(value).replace("e", "E").padStart(20);
}

function decodeCard(line: string): Card | null {
  const keyword = line.slice(0, 8).trimEnd();
  if (keyword === "COMMENT" || keyword === "HISTORY") return { keyword, value: line.slice(8).trimEnd() };
  if (line.slice(8, 10) !== "= ") return null;
  const field = line.slice(10);
  const quoted = /^ *'((?:[^']|'')*)'/.exec(field);
  if (quoted) return { keyword, value: (quoted[1] as string).replace(/''/g, "'").trimEnd() };
  const bare = (field.split("/")[0] as string).trim();
  if (bare === "T" || bare === "F") return { keyword, value: bare === "T" };
  const number = Number(bare.replace(/[dD]/, "E"));
  return bare === "" || Number.isNaN(number) ? null : { keyword, value: number };
}
