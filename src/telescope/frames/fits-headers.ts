/** The headers of a FITS file, one after the other, up to the one that has the image (FITS Standard 4.0, sections 3 and 4). */
import { Refusal } from "../../base/refusal.js";
import type { ByteReader } from "./byte-reader.js";
import { BLOCK_BYTES, CARD_BYTES, type Card, cardValue, decodeCards } from "./fits-cards.js";

/** One header as it stands in the file. */
export interface FitsHeader {
  readonly cards: readonly Card[];
  /** The cards before END as text, 80 characters each. */
  readonly lines: readonly string[];
}

export interface ImageHeader {
  /** Of the image's own header, then those of the primary header that it does not have itself. */
  readonly cards: readonly Card[];
  readonly width: number;
  readonly height: number;
  /** Bits of a stored pixel; negative for floating point. */
  readonly bitpix: number;
}

/** A longer header is no camera's. */
const MOST_CARD_BLOCKS = 1_000;
/** Headers looked through for an image, and bytes of other data passed over. */
const MOST_HEADERS = 100;
const MOST_SKIPPED_BYTES = 512_000_000;

/**
 * The image in the first header that has one; the reader then stands at its first pixel.
 * @throws {Refusal} code "fits-unreadable"
 */
export async function findImage(reader: ByteReader): Promise<ImageHeader> {
  const primary = await readHeader(reader, "SIMPLE");
  let header: FitsHeader = primary;
  for (let count = 0, skipped = 0; count < MOST_HEADERS; count++) {
    const image = imageOf(header, primary);
    if (image) return image;
    skipped += dataBytes(header.cards);
    if (skipped > MOST_SKIPPED_BYTES) break;
    await reader.skip(dataBytes(header.cards));
    const next = await nextHeader(reader);
    if (next === null) break;
    header = next;
  }
  throw unreadable("This FITS file holds no two-dimensional image that can be read.");
}

/** @throws {Refusal} code "fits-unreadable": the file does not begin as FITS does, or the header does not end */
export async function readHeader(reader: ByteReader, first: "SIMPLE" | "XTENSION"): Promise<FitsHeader> {
  const lines: string[] = [];
  for (let blocks = 0; blocks < MOST_CARD_BLOCKS; blocks++) {
    const block = await reader.take(BLOCK_BYTES);
    if (blocks === 0 && block.toString("latin1", 0, 9) !== `${first.padEnd(8)}=`)
      throw unreadable(`This is not a FITS file: it does not begin with ${first}.`);
    for (let at = 0; at + CARD_BYTES <= block.length; at += CARD_BYTES) {
      const line = block.toString("latin1", at, at + CARD_BYTES);
      if (line.trimEnd() === "END") return { cards: decodeCards(lines), lines };
      lines.push(line);
    }
    if (block.length < BLOCK_BYTES) break;
  }
  throw unreadable("This FITS file has no end of header: it may have been cut short.");
}

/** null at the end of the file, or before what is no further header (section 3.5: special records). */
async function nextHeader(reader: ByteReader): Promise<FitsHeader | null> {
  try {
    return await readHeader(reader, "XTENSION");
  } catch (error) {
    if (error instanceof Refusal && error.message.includes("XTENSION")) return null;
    throw error;
  }
}

function imageOf({ cards }: FitsHeader, primary: FitsHeader): ImageHeader | null {
  if (cardValue(cards, "ZIMAGE") === true) throw tileCompressed(cards);
  const kind = cardValue(cards, "XTENSION");
  const axes = axesOf(cards);
  if ((kind !== undefined && kind !== "IMAGE") || axes.length === 0 || axes[0] === 0) return null;
  const [width = 0, height = 0, ...deeper] = axes;
  const bitpix = numberOf(cards, "BITPIX");
  if (axes.length < 2 || deeper.some((length) => length !== 1) || !BITPIX.includes(bitpix) || height === 0)
    throw unreadable(
      axes.length > 2 && deeper.every(Number.isInteger)
        ? `This FITS file holds a stack of ${axes.join(" × ")} and no two-dimensional image: save each plane by itself.`
        : "This FITS file holds no two-dimensional image that can be read.",
    );
  return { cards: cards === primary.cards ? cards : [...cards, ...primary.cards], width, height, bitpix };
}

/** Table 8; 64 and −64 take eight bytes. */
const BITPIX: readonly number[] = [8, 16, 32, 64, -32, -64];
/** Section 4.4.1.1. */
const MOST_AXES = 999;

/** @throws {Refusal} for lengths that no array has */
function axesOf(cards: readonly Card[]): number[] {
  const count = numberOf(cards, "NAXIS");
  if (!isCount(count) || count > MOST_AXES)
    throw unreadable("This FITS file's header is damaged: it does not say how many axes its image has.");
  return Array.from({ length: count }, (_, axis) => {
    const length = numberOf(cards, `NAXIS${axis + 1}`);
    if (!isCount(length))
      throw unreadable(
        `This FITS file holds no two-dimensional image that can be read: NAXIS${axis + 1} is no length.`,
      );
    return length;
  });
}

/** Bytes of data after a header, up to a whole block (equations 1 and 2). */
function dataBytes(cards: readonly Card[]): number {
  const axes = axesOf(cards);
  const grouped = cardValue(cards, "GROUPS") === true && axes[0] === 0;
  const lengths = grouped ? axes.slice(1) : axes;
  const values = lengths.length === 0 ? 0 : lengths.reduce((product, length) => product * length, 1);
  const [before, groups] = [numberOf(cards, "PCOUNT", 0), numberOf(cards, "GCOUNT", 1)];
  const bytes = (Math.abs(numberOf(cards, "BITPIX")) / 8) * groups * (before + values);
  if (!isCount(bytes)) throw unreadable("This FITS file's header is damaged: its sizes make no sense.");
  return Math.ceil(bytes / BLOCK_BYTES) * BLOCK_BYTES;
}

function numberOf(cards: readonly Card[], keyword: string, otherwise = Number.NaN): number {
  const value = cardValue(cards, keyword);
  return typeof value === "number" ? value : otherwise;
}

function isCount(value: number): boolean {
  return Number.isSafeInteger(value) && value >= 0;
}

function tileCompressed(cards: readonly Card[]): Refusal {
  const method = cardValue(cards, "ZCMPTYPE");
  const named = typeof method === "string" ? ` (${method.slice(0, 20)})` : "";
  return unreadable(
    `This FITS file is tile-compressed${named}, which is not read here: switch compression off where it is saved; gzip is fine.`,
  );
}

/** Whether an error says what is wrong with a file; one that comes from a worker has kept its words only. */
export function isUnreadable({ message }: Error): boolean {
  return message.startsWith("This FITS file") || message.startsWith("This is not a FITS file");
}

/** The refusal of a file, with a sentence that begins with "This FITS file" or "This is not a FITS file". */
export function unreadable(sentence: string): Refusal {
  return new Refusal("fits-unreadable", sentence);
}
