/**
 * FITS images: written as 16-bit unsigned, read in any of the standard's number formats (FITS Standard 4.0).
 * By hand: no kept library reads them from a buffer in Node.
 */
import { Refusal } from "../../base/refusal.js";
import { BLOCK_BYTES, type Card, decodeHeader, encodeHeader } from "./fits-cards.js";

/** A picture in memory: row by row, the first row at the bottom, as FITS has it. */
export interface PixelImage<Pixels extends ArrayLike<number> = ArrayLike<number>> {
  readonly width: number;
  readonly height: number;
  readonly pixels: Pixels;
}

export interface FitsImage extends PixelImage<Float32Array> {
  readonly cards: readonly Card[];
}

/** No frame that this program can use has more pixels; a header that says so is damaged. */
const MOST_PIXELS = 400_000_000;

/** Bytes and reader for each BITPIX (table 8); all are big-endian. */
const FORMATS: Readonly<Record<number, { bytes: number; read: (view: DataView, at: number) => number }>> = {
  8: { bytes: 1, read: (view, at) => view.getUint8(at) },
  16: { bytes: 2, read: (view, at) => view.getInt16(at) },
  32: { bytes: 4, read: (view, at) => view.getInt32(at) },
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
 * Reads the first image of a file.
 * @throws {Refusal} code "fits-unreadable": not FITS, not a two-dimensional image, or cut short
 */
export function decodeFits(bytes: Uint8Array): FitsImage {
  const { cards, dataOffset } = decodeHeader(bytes);
  const number = (keyword: string, otherwise: number): number => {
    const found = cards.find((card) => card.keyword === keyword)?.value;
    return typeof found === "number" ? found : otherwise;
  };
  const width = number("NAXIS1", 0);
  const height = number("NAXIS2", 0);
  const format = FORMATS[number("BITPIX", 0)];
  const whole = Number.isInteger(width) && Number.isInteger(height) && width > 0 && height > 0;
  if (!format || number("NAXIS", 0) !== 2 || !whole || width * height > MOST_PIXELS)
    throw new Refusal("fits-unreadable", "This FITS file holds no two-dimensional image that can be read.");
  const available = bytes.byteLength - dataOffset;
  if (available < width * height * format.bytes)
    throw new Refusal("fits-unreadable", "This FITS file has been cut short: pixels are missing at its end.");

  const view = new DataView(bytes.buffer, bytes.byteOffset + dataOffset);
  const scale = number("BSCALE", 1);
  const zero = number("BZERO", 0);
  const pixels = new Float32Array(width * height);
  for (let index = 0; index < pixels.length; index++)
    pixels[index] = zero + scale * format.read(view, index * format.bytes);
  return { width, height, pixels, cards };
}

function littleEndian(): boolean {
  return new Uint8Array(new Uint16Array([1]).buffer)[0] === 1;
}
