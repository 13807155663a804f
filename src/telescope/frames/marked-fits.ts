/** A FITS file as it came, with cards of ours in its first header; nothing else of it is touched. */
import { stat } from "node:fs/promises";
import { ByteReader, type FitsSource } from "./byte-reader.js";
import { type Card, encodeCard, headerOfLines } from "./fits-cards.js";
import { readHeader } from "./fits-headers.js";
import type { Streamed } from "./kept-files.js";

/** Room for one more block of header. */
const MORE_HEADER = 2880;
/** The first header's own check sum no longer holds; that of the data does (FITS Standard 4.0, section 4.4.2.7). */
const CHECK_SUM = "CHECKSUM";

/** Unpacked where it is gzip; read anew each time its bytes are asked for. */
export async function markedFits(source: FitsSource, cards: readonly Card[]): Promise<Streamed> {
  const size = "path" in source ? (await stat(source.path)).size : source.bytes.length;
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
    yield* reader.rest();
  } finally {
    reader.close();
  }
}
