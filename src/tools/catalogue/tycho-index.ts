/**
 * Reads the Tycho-2 stars (Høg et al. 2000, A&A 355, L27) out of a plate solver's index file, as Debian's package
 * astrometry-data-tycho2-07-littleendian 2-4 holds it: at most ten stars of each cell of 22.5′, brightest first.
 */
import { readFileSync } from "node:fs";
import { DEGREES_PER_RADIAN } from "../../base/units.js";

export interface TychoStar {
  readonly raDegrees: number;
  readonly decDegrees: number;
  /** V_T: up to 0.1 fainter than V for most stars. */
  readonly magnitude: number;
}

const BLOCK = 2880;
const CARD = 80;

/** All stars of the file. @throws {Error} naming a table that the file lacks */
export function readTychoIndex(path: string): TychoStar[] {
  const tables = tablesOf(readFileSync(path));
  const range = table(tables, "kdtree_range_stars");
  const vectors = table(tables, "kdtree_data_stars");
  const magnitudes = table(tables, "MAG_VT");
  // Three least values, three greatest, and the number of units per radian of the stored whole numbers.
  const least = [0, 8, 16].map((offset) => range.readDoubleLE(offset));
  const scale = range.readDoubleLE(48);
  const stars: TychoStar[] = [];
  for (let index = 0; index * 12 < vectors.length; index++) {
    const [x, y, z] = [0, 1, 2].map(
      (axis) => vectors.readUInt32LE(index * 12 + axis * 4) / scale + (least[axis] as number),
    ) as [number, number, number];
    stars.push({
      raDegrees: (Math.atan2(y, x) * DEGREES_PER_RADIAN + 360) % 360,
      decDegrees: Math.atan2(z, Math.hypot(x, y)) * DEGREES_PER_RADIAN,
      magnitude: magnitudes.readFloatBE(index * 4),
    });
  }
  return stars;
}

function table(tables: ReadonlyMap<string, Buffer>, name: string): Buffer {
  const found = tables.get(name);
  if (!found) throw new Error(`the index file has no table ${name}`);
  return found;
}

/** The data of each FITS table by the name of its first column (FITS Standard 4.0, sections 3 and 7). */
function tablesOf(file: Buffer): Map<string, Buffer> {
  const tables = new Map<string, Buffer>();
  for (let offset = 0; offset < file.length; ) {
    const cards = new Map<string, string>();
    let end = false;
    for (; !end && offset < file.length; offset += BLOCK) {
      for (let at = offset; at < offset + BLOCK; at += CARD) {
        const card = file.toString("latin1", at, at + CARD);
        end ||= card.trimEnd() === "END";
        if (card[8] === "=")
          cards.set(card.slice(0, 8).trim(), (card.slice(10).split("/")[0] as string).trim());
      }
    }
    const size = cards.get("NAXIS") === "2" ? Number(cards.get("NAXIS1")) * Number(cards.get("NAXIS2")) : 0;
    const name = (cards.get("TTYPE1") ?? "").replace(/'/g, "").trim();
    if (size > 0) tables.set(name, file.subarray(offset, offset + size));
    offset += Math.ceil(size / BLOCK) * BLOCK;
  }
  return tables;
}
