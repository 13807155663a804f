/** A FITS file as it came, with cards of ours in its first header; nothing else of it is touched. */
import { stat } from "node:fs/promises";
import type { Refusal } from "../../base/refusal.js";
import { ByteReader, type FitsSource } from "./byte-reader.js";
import { type Card, encodeCard, headerOfLines } from "./fits-cards.js";
import { readHeader, unreadable } from "./fits-headers.js";
import type { Streamed } from "./kept-files.js";

/** Room for one more block of header. */
const MORE_HEADER = 2880;
/** More, unpacked, is no frame of one image: the largest that is read has 64 million pixels of eight bytes. */
const MOST_BYTES = 600_000_000;
/** The first header's own check sum no longer holds; that of the data does (FITS Standard 4.0, section 4.4.2.7). */
const CHECK_SUM = "CHECKSUM";

/**
 * Unpacked where it is gzip; read anew each time its bytes are asked for.
 * @throws {Refusal} code "fits-unreadable" for more than a frame; likewise while its bytes are read
 */
export async function markedFits(source: FitsSource, cards: readonly Card[]): Promise<Streamed> {
  const size = "path" in source ? (await stat(source.path)).size : source.bytes.length;
  if (size > MOST_BYTES) throw tooLarge();
  return { size: size + MORE_HEADER, chunks: () => chunksOf(source, cards) };
}

async function* chunksOf(source: FitsSource, cards: readonly Card[]): AsyncGenerator<Uint8Array> {
  const reader = await ByteReader.open(source);
  try {
    const { lines } = await readHeader(reader, "SIMPLE");
    const replaced = new Set([...cards.map(({ keyword }) => keyword), CHECK_SUM]);
    const kept = lines.filter((line) => !replaced.has(line.slice(0, 8).trimEnd()));
    while (kept.at(-1)?.trim() === "") kept.pop();
    yield headerOfLines([...kept, ...cards.map(encodeCard)]);
    let bytes = 0;
    for await (const piece of reader.rest()) {
      bytes += piece.length;
      if (bytes > MOST_BYTES) throw tooLarge();
      yield piece;
    }
  } finally {
    reader.close();
  }
}

function tooLarge(): Refusal {
  return unreadable(
    `This FITS file has more than ${MOST_BYTES / 1e6} MB beside its header, too many for one frame: save the image alone.`,
  );
}
