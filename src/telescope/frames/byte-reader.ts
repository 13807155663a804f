/** Reads bytes in order from a file or from memory, unpacked where they are gzip, without holding them all. */
import { createReadStream } from "node:fs";
import { Readable } from "node:stream";
import { createGunzip } from "node:zlib";
import { Refusal } from "../../base/refusal.js";

/** A FITS file where it lies, or its bytes; packed with gzip or not. */
export type FitsSource = { readonly path: string } | { readonly bytes: Uint8Array };

/** How much is read at a time. */
const CHUNK_BYTES = 256 * 1024;
/** The first two bytes of gzip (RFC 1952, section 2.3.1). */
const GZIP = [0x1f, 0x8b] as const;

export class ByteReader {
  private held: Buffer = Buffer.alloc(0);
  private ended = false;

  private constructor(
    private readonly chunks: AsyncIterator<Buffer>,
    private readonly streams: readonly Readable[],
  ) {}

  /** @throws {Error} what the file system says */
  static async open(source: FitsSource): Promise<ByteReader> {
    const plain =
      "path" in source
        ? createReadStream(source.path, { highWaterMark: CHUNK_BYTES })
        : Readable.from(pieces(source.bytes));
    const reader = new ByteReader(plain[Symbol.asyncIterator](), [plain]);
    const start = await reader.peek(GZIP.length);
    if (start[0] !== GZIP[0] || start[1] !== GZIP[1]) return reader;
    const packed = Readable.from(reader.rest());
    const unpacked = createGunzip({ chunkSize: CHUNK_BYTES });
    packed.once("error", (error) => unpacked.destroy(error));
    packed.pipe(unpacked);
    return new ByteReader(unpacked[Symbol.asyncIterator](), [unpacked, packed, plain]);
  }

  /** The next bytes; fewer than asked for at the end only. */
  async take(count: number): Promise<Buffer> {
    const parts: Buffer[] = [];
    for (let left = count; left > 0 && (await this.fill()); ) {
      const part = this.held.subarray(0, left);
      this.held = this.held.subarray(part.length);
      left -= part.length;
      parts.push(part);
    }
    return parts.length === 1 ? (parts[0] as Buffer) : Buffer.concat(parts);
  }

  /** Passes over bytes. */
  async skip(count: number): Promise<void> {
    for (let left = count; left > 0 && (await this.fill()); ) {
      const part = Math.min(left, this.held.length);
      this.held = this.held.subarray(part);
      left -= part;
    }
  }

  /** All that is left, piece by piece. */
  async *rest(): AsyncGenerator<Buffer> {
    while (await this.fill()) {
      const part = this.held;
      this.held = Buffer.alloc(0);
      yield part;
    }
  }

  close(): void {
    for (const stream of this.streams) stream.destroy();
  }

  private async peek(count: number): Promise<Buffer> {
    const start = await this.take(count);
    this.held = Buffer.concat([start, this.held]);
    return start;
  }

  /** Whether there is a byte to take. */
  private async fill(): Promise<boolean> {
    while (this.held.length === 0 && !this.ended) {
      const next = await this.next();
      if (next === null) this.ended = true;
      else this.held = next;
    }
    return this.held.length > 0;
  }

  private async next(): Promise<Buffer | null> {
    try {
      const { value, done } = await this.chunks.next();
      return done ? null : value;
    } catch (error) {
      if (!String((error as NodeJS.ErrnoException).code).startsWith("Z_")) throw error;
      throw new Refusal("fits-unreadable", "This FITS file is packed with gzip, and damaged or cut short.");
    }
  }
}

function* pieces(bytes: Uint8Array): Generator<Buffer> {
  for (let start = 0; start < bytes.length; start += CHUNK_BYTES)
    yield Buffer.from(bytes.buffer, bytes.byteOffset + start, Math.min(CHUNK_BYTES, bytes.length - start));
}
