/**
 * FITS images: written as 16-bit unsigned, read in any of the standard's number formats (FITS Standard 4.0).
 * By hand: no kept library reads them from a buffer in Node.
 */
import type { Refusal } from "../../base/refusal.js";
import { ByteReader, type FitsSource } from "./byte-reader.js";
import { BLOCK_BYTES, type Card, cardValue, encodeHeader } from "./fits-cards.js";
import { findImage, type ImageHeader, unreadable } from "./fits-headers.js";
import { middleOf, type PixelImage, sampleOf } from "./pixel-statistics.js";

export interface FitsImage extends PixelImage<Float32Array> {
  readonly cards: readonly Card[];
}

/** An image of more pixels is not taken into memory (four bytes each): full-frame cameras have 61 million. */
const MOST_PIXELS = 64_000_000;
/** Pixels made from bytes at a time. */
const PIXELS_AT_ONCE = 65_536;

interface NumberFormat {
  readonly bytes: number;
  read(view: DataView, at: number): number;
}

/** Bytes and reader for each BITPIX (table 8); all are big-endian. */
const FORMATS: Readonly<Record<number, NumberFormat>> = {
  8: { bytes: 1, read: (view, at) => view.getUint8(at) },
  16: { bytes: 2, read: (view, at) => view.getInt16(at) },
  32: { bytes: 4, read: (view, at) => view.getInt32(at) },
  64: { bytes: 8, read: (view, at) => Number(view.getBigInt64(at)) },
  [-32]: { bytes: 4, read: (view, at) => view.getFloat32(at) },
  [-64]: { bytes: 8, read: (view, at) => view.getFloat64(at) },
};

/**
 * A file's bytes: unsigned 16-bit pixels stored as signed ones with BZERO = 32768 (section 5.2.5).
 * @param cards everything beyond the mandatory keywords
 */
export function encodeFits(image: PixelImage<Uint16Array>, cards: readonly Card[]): Buffer {
  const header = encodeHeader([
    { keyword: "SIMPLE", value: true, comment: "conforms to FITS Standard 4.0" },
    { keyword: "BITPIX", value: 16, comment: "bits per pixel" },
    { keyword: "NAXIS", value: 2, comment: "number of axes" },
    { keyword: "NAXIS1", value: image.width, comment: "width, pixels" },
    { keyword: "NAXIS2", value: image.height, comment: "height, pixels" },
    { keyword: "BSCALE", value: 1, comment: "pixel = BZERO + BSCALE * stored" },
    { keyword: "BZERO", value: 32768, comment: "unsigned 16-bit" },
    ...cards,
  ]);
  const count = image.width * image.height;
  const file = Buffer.alloc(header.length + Math.ceil((count * 2) / BLOCK_BYTES) * BLOCK_BYTES);
  header.copy(file);
  const stored = new Uint16Array(file.buffer, file.byteOffset + header.length, count);
  for (let index = 0; index < count; index++) stored[index] = (image.pixels[index] as number) ^ 0x8000;
  if (littleEndian()) file.subarray(header.length, header.length + count * 2).swap16();
  return file;
}

/**
 * Reads the first image of a file. Pixels without a value (BLANK, not a number) get the middle value of the others.
 * @throws {Refusal} code "fits-unreadable": not FITS, no two-dimensional image, cut short, tile-compressed, or too large
 * @throws {Error} what the file system says
 */
export async function readFits(source: FitsSource): Promise<FitsImage> {
  const reader = await ByteReader.open(source);
  try {
    const header = await findImage(reader);
    const { width, height, cards } = header;
    if (width * height > MOST_PIXELS)
      throw unreadable(
        `This FITS file's image has ${width} × ${height} pixels, and no more than ${MOST_PIXELS / 1e6} million are read: bin the camera's pixels, or save a part of the frame.`,
      );
    return { width, height, pixels: await readPixels(reader, header), cards };
  } finally {
    reader.close();
  }
}

async function readPixels(reader: ByteReader, header: ImageHeader): Promise<Float32Array> {
  const { bytes, read } = FORMATS[header.bitpix] as NumberFormat;
  const { scale, zero, blank } = scalingOf(header);
  const count = header.width * header.height;
  const first = await reader.take(Math.min(PIXELS_AT_ONCE, count) * bytes);
  // Memory is taken only for a file that holds what its header promises at least to begin with.
  if (first.length === 0) throw cutShort();
  const pixels = new Float32Array(count);
  let without = 0;
  for (
    let done = 0, part = first;
    done < count;
    part = await reader.take(Math.min(PIXELS_AT_ONCE, count - done) * bytes)
  ) {
    const whole = Math.floor(part.length / bytes);
    if (whole < Math.min(PIXELS_AT_ONCE, count - done)) throw cutShort();
    const view = new DataView(part.buffer, part.byteOffset, part.byteLength);
    for (let index = 0; index < whole; index++) {
      const stored = read(view, index * bytes);
      const value = stored === blank ? Number.NaN : zero + scale * stored;
      pixels[done + index] = value;
      if (!Number.isFinite(pixels[done + index])) without++;
    }
    done += whole;
  }
  if (without > 0) fillIn(pixels, without);
  return pixels;
}

/** Sections 4.4.2.5 and 5.3: BLANK stands for a stored integer, before scaling. */
function scalingOf({ cards, bitpix }: ImageHeader): { scale: number; zero: number; blank: number | null } {
  const number = (keyword: string): number | null => {
    const value = cardValue(cards, keyword);
    return typeof value === "number" ? value : null;
  };
  return {
    scale: number("BSCALE") ?? 1,
    zero: number("BZERO") ?? 0,
    blank: bitpix > 0 ? number("BLANK") : null,
  };
}

function fillIn(pixels: Float32Array, without: number): void {
  if (without === pixels.length)
    throw unreadable("This FITS file's image holds no values: every pixel is blank.");
  const middle = middleOf(sampleOf(pixels.filter(Number.isFinite)).sort());
  for (let index = 0; index < pixels.length; index++)
    if (!Number.isFinite(pixels[index])) pixels[index] = middle;
}

function cutShort(): Refusal {
  return unreadable("This FITS file has been cut short: pixels are missing at its end.");
}

function littleEndian(): boolean {
  return new Uint8Array(new Uint16Array([1]).buffer)[0] === 1;
}
