/**
 * One star in eight bytes, little-endian: right ascension and declination in 24 bits each, magnitude in 16. A file of
 * them opens with a text that says what it holds, and is in order of declination.
 */
import type { Degrees } from "../base/units.js";

/** A star of a list. */
export interface ListedStar {
  /** ICRS, epoch J2000. */
  readonly raDegrees: Degrees;
  readonly decDegrees: Degrees;
  /** Visual magnitude, or Tycho-2's V_T for stars fainter than the Hipparcos Catalogue. */
  readonly magnitude: number;
}

/** Bytes of the opening text, padded with spaces. */
export const HEADER_BYTES = 512;
export const RECORD_BYTES = 8;
export const STEPS = 2 ** 24;
/** Magnitudes are stored in hundredths from here, so that the brightest star is above zero. */
export const BRIGHTEST = -5;

/** Reads the star at `offset`. */
export function readStar(file: Buffer, offset: number): ListedStar {
  return {
    raDegrees: ((file.readUIntLE(offset, 3) + 0.5) / STEPS) * 360,
    decDegrees: readDeclination(file, offset),
    magnitude: file.readUInt16LE(offset + 6) / 100 + BRIGHTEST,
  };
}

/** Its declination alone, degrees: what the file is in order of. */
export function readDeclination(file: Buffer, offset: number): Degrees {
  return ((file.readUIntLE(offset + 3, 3) + 0.5) / STEPS) * 180 - 90;
}
