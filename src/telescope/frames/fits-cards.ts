/** Header cards of a FITS file: 80 characters each, in blocks of 2880 bytes (FITS Standard 4.0, section 4). */

export const BLOCK_BYTES = 2880;
export const CARD_BYTES = 80;

/** One header entry; COMMENT and HISTORY carry text only. */
export interface Card {
  /** At most eight of A–Z, 0–9, dash and underscore. */
  readonly keyword: string;
  readonly value: string | number | boolean;
  readonly comment?: string;
}

/** A header's bytes: the cards, END, and blanks up to a whole block. */
export function encodeHeader(cards: readonly Card[]): Buffer {
  return headerOfLines(cards.map(encodeCard));
}

/** The same of cards that are text already, 80 characters each. */
export function headerOfLines(lines: readonly string[]): Buffer {
  const text = [...lines, "END".padEnd(CARD_BYTES)].join("");
  return Buffer.from(text.padEnd(Math.ceil(text.length / BLOCK_BYTES) * BLOCK_BYTES), "latin1");
}

/** The value of a keyword's first card; undefined where there is none or it cannot be read. */
export function cardValue(cards: readonly Card[], keyword: string): Card["value"] | undefined {
  return cards.find((card) => card.keyword === keyword)?.value;
}

/** Text of a keyword, short, and without what no name has; null where there is none. */
export function cardText(cards: readonly Card[], keyword: string): string | null {
  const value = cardValue(cards, keyword);
  if (typeof value !== "string") return null;
  const text = value.replace(/[^\x20-\x7e]/g, "").trim();
  return text === "" ? null : text.slice(0, 200);
}

/** Greek letters spelt out, accents taken off, anything else that is not printable ASCII as "?". */
export function asciiText(text: string): string {
  const spelt = text.replace(/α/g, "alpha").replace(/β/g, "beta").replace(/°/g, " deg");
  return spelt
    .normalize("NFKD")
    .replace(/\p{M}/gu, "")
    .replace(/[^\x20-\x7e]/g, "?");
}

/** One card as 80 characters. */
export function encodeCard({ keyword, value, comment }: Card): string {
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

/** Cards from lines of 80 characters; text that goes on in CONTINUE cards is put together (section 4.2.1.2). */
export function decodeCards(lines: readonly string[]): Card[] {
  const cards: Card[] = [];
  for (const line of lines) {
    const before = cards.at(-1);
    if (line.startsWith("CONTINUE  ") && typeof before?.value === "string" && before.value.endsWith("&")) {
      const rest = quotedText(line.slice(10)) ?? "";
      cards[cards.length - 1] = { keyword: before.keyword, value: before.value.slice(0, -1) + rest };
      continue;
    }
    const card = decodeCard(line);
    if (card) cards.push(card);
  }
  return cards;
}

/** Numbers as the standard writes them (sections 4.2.3 and 4.2.4); "0x10" and "Infinity" are none. */
const NUMBER = /^[+-]?(\d+\.?\d*|\.\d+)([EeDd][+-]?\d+)?$/;

function decodeCard(line: string): Card | null {
  const keyword = line.slice(0, 8).trimEnd();
  if (keyword === "COMMENT" || keyword === "HISTORY") return { keyword, value: line.slice(8).trimEnd() };
  if (line.slice(8, 10) !== "= ") return null;
  const field = line.slice(10);
  const quoted = quotedText(field);
  if (quoted !== null) return { keyword, value: quoted };
  const bare = (field.split("/")[0] as string).trim();
  if (bare === "T" || bare === "F") return { keyword, value: bare === "T" };
  if (!NUMBER.test(bare)) return null;
  const number = Number(bare.replace(/[dD]/, "E"));
  return Number.isFinite(number) ? { keyword, value: number } : null;
}

function quotedText(field: string): string | null {
  const quoted = /^ *'((?:[^']|'')*)'/.exec(field);
  return quoted ? (quoted[1] as string).replace(/''/g, "'").trimEnd() : null;
}
