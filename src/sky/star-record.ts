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
const STEPS = 2 ** 24;
/** Magnitudes are stored in hundredths from here, so that the brightest star is above zero. */
const BRIGHTEST = -5;

/** Writes at `offset`; positions keep 0.04″ (right ascension 0.08″), magnitudes 0.01. */
export function writeStar(
  file: Buffer,
  offset: number,
  { raDegrees, decDegrees, magnitude }: ListedStar,
): void {
  file.writeUIntLE(Math.floor((raDegrees / 360) * STEPS) % STEPS, offset, 3);
  file.writeUIntLE(Math.min(STEPS - 1, Math.floor(((decDegrees + 90) / 180) * STEPS)), offset + 3, 3);
  file.writeUInt16LE(Math.round((magnitude - BRIGHTEST) * 100), offset + 6);
}

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
