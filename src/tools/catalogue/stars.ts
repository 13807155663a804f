/**
 * Makes the star lists of src/sky/data. Run by hand: node dist/tools/catalogue/stars.js INDEX, where INDEX is
 * index-tycho2-07.littleendian.fits of Debian's astrometry-data-tycho2-07-littleendian; d3-celestial is in node_modules.
 */
import { writeFileSync } from "node:fs";
import { fileURLToPath } from "node:url";
import { loadCatalogue } from "../../sky/load-catalogue.js";
import { BRIGHTEST, HEADER_BYTES, type ListedStar, RECORD_BYTES, STEPS } from "../../sky/star-record.js";
import { readCelestial } from "./celestial.js";
import { separationArcminutes } from "./disagreements.js";
import { SkyCells } from "./sky-cells.js";
import { readTychoIndex } from "./tycho-index.js";

/** Stars are kept within this distance of each catalogued target. */
const FIELD_RADIUS_DEGREES = 0.5;
/** A star of both catalogues lies within 5″ of itself, and is within 1.5 magnitudes. */
const SAME_ARCMINUTES = 5 / 60;
const SAME_MAGNITUDES = 1.5;

function write(name: string, about: string, stars: readonly ListedStar[]): void {
  const ordered = [...stars].sort((a, b) => a.decDegrees - b.decDegrees || a.raDegrees - b.raDegrees);
  const file = Buffer.alloc(HEADER_BYTES + ordered.length * RECORD_BYTES);
  file.write(about.padEnd(HEADER_BYTES), 0, HEADER_BYTES, "latin1");
  for (const [index, star] of ordered.entries()) writeStar(file, HEADER_BYTES + index * RECORD_BYTES, star);
  writeFileSync(fileURLToPath(new URL(`../../../src/sky/data/${name}`, import.meta.url)), file);
  console.log(`${ordered.length} stars, ${file.length} bytes in ${name}`);
}

function isSameStar(a: ListedStar, b: ListedStar): boolean {
  return (
    separationArcminutes(a, b) < SAME_ARCMINUTES && Math.abs(a.magnitude - b.magnitude) < SAME_MAGNITUDES
  );
}

function main(index: string): void {
  const celestial = readCelestial();
  const bright = new SkyCells(celestial.stars, FIELD_RADIUS_DEGREES);
  const centres = new SkyCells(
    loadCatalogue().targets.filter((target) => target.kind === "fixed"),
    FIELD_RADIUS_DEGREES,
  );
  const inField = (star: ListedStar) =>
    centres.near(star).some((centre) => separationArcminutes(centre, star) <= FIELD_RADIUS_DEGREES * 60);
  const faint = readTychoIndex(index).filter(
    (star) => inField(star) && !bright.near(star).some((other) => isSameStar(other, star)),
  );
  write(
    "stars.bin",
    `Hipparcos Catalogue (ESA 1997), from d3-celestial ${celestial.version}, data/stars.14.json, rounded there to 0.0001 degrees. ` +
      "BSD-3-Clause, Copyright (c) 2015, Olaf Frohn. Form: star-record.ts.",
    celestial.stars,
  );
  write(
    "star-fields.bin",
    "Tycho-2 Catalogue (Hog et al. 2000), from Debian's astrometry-data-tycho2-07-littleendian 2-4, within " +
      `${FIELD_RADIUS_DEGREES} degrees of the targets in catalogue.json; stars of stars.bin left out. BSD-2-Clause, ` +
      "Copyright 2000 Hog E., Fabricius C., Makarov V.V., Urban S., Corbin T., Wycoff G., Bastian U., Schwekendiek P., " +
      "Wicenec A. Form: star-record.ts.",
    faint,
  );
}

main(process.argv[2] ?? "index-tycho2-07.littleendian.fits");

/** Writes at `offset`; positions keep 0.04″ (right ascension 0.08″), magnitudes 0.01. */
function writeStar(file: Buffer, offset: number, { raDegrees, decDegrees, magnitude }: ListedStar): void {
  file.writeUIntLE(Math.floor((raDegrees / 360) * STEPS) % STEPS, offset, 3);
  file.writeUIntLE(Math.min(STEPS - 1, Math.floor(((decDegrees + 90) / 180) * STEPS)), offset + 3, 3);
  file.writeUInt16LE(Math.round((magnitude - BRIGHTEST) * 100), offset + 6);
}
