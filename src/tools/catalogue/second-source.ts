/**
 * Makes reference/second-source.json: figures against which the catalogue is checked, from Siril's tables (Debian package
 * siril-common 1.0.6-1, GPL-3-or-later; only figures of the listed objects are taken, for checking). Run by hand:
 * node dist/tools/catalogue/second-source.js FOLDER, where FOLDER holds the package's messier.txt, ngc.txt, ic.txt and sh2.txt.
 */
import { readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { readCelestial } from "./celestial.js";
import { deepSkyObjects, rowsOf } from "./objects.js";
import { type SecondFigures, secondSourcePath } from "./read-second-source.js";
import { fromMemory } from "./second-source-memory.js";

type Row = Omit<SecondFigures, "key">;

/** Rows by designation without spaces. Columns: code; hours; sign; degrees; diameter; magnitude; name; alias. */
function readSiril(folder: string): Map<string, Row> {
  const rows = new Map<string, Row>();
  for (const file of ["messier.txt", "ngc.txt", "ic.txt", "sh2.txt"]) {
    for (const line of readFileSync(join(folder, file), "utf8").split("\n").slice(1)) {
      const [code, hours, sign, degrees, diameter, magnitude] = line.split(";");
      if (!code || !degrees) continue;
      rows.set(code, {
        raDegrees: Number((Number(hours) * 15).toFixed(4)),
        decDegrees: Number((Number(degrees) * (sign === "-" ? -1 : 1)).toFixed(4)),
        magnitude: magnitude && Number(magnitude) < 99 ? Number(magnitude) : null,
        sizeArcminutes: Number(diameter) > 0 ? Number(diameter) : null,
        remembered: "",
      });
    }
  }
  return rows;
}

function remembered(row: Row | undefined, cells: readonly string[] | undefined): Row | null {
  if (!cells) return row ?? null;
  const [, position = "", magnitude = ""] = cells;
  const [ra, dec] = position.split(" ").map(Number);
  const what = [position && "position", magnitude && "magnitude"].filter(Boolean).join(" and ");
  return {
    raDegrees: position ? (ra as number) : (row?.raDegrees ?? 0),
    decDegrees: position ? (dec as number) : (row?.decDegrees ?? 0),
    magnitude: magnitude ? Number(magnitude) : (row?.magnitude ?? null),
    sizeArcminutes: row?.sizeArcminutes ?? null,
    remembered: what,
  };
}

function main(folder: string): void {
  const siril = readSiril(folder);
  const memory = new Map(rowsOf(fromMemory).map((cells) => [cells[0] as string, cells]));
  const lines = deepSkyObjects(readCelestial()).map(({ key, id, designations }) => {
    const found = [key, id, ...designations].map((each) => siril.get(each.replace(" ", ""))).find(Boolean);
    const row = remembered(found, memory.get(key));
    if (!row) throw new Error(`no second source for ${key}: add it to second-source-memory.ts`);
    return JSON.stringify([
      key,
      row.raDegrees,
      row.decDegrees,
      row.magnitude,
      row.sizeArcminutes,
      row.remembered,
    ]);
  });
  const about = {
    source:
      "Figures from Siril's catalogue tables, Debian package siril-common 1.0.6-1 (GPL-3.0-or-later); used for checking",
    columns:
      "key, right ascension and declination (J2000, degrees), magnitude, size (arc minutes), what is from memory instead",
  };
  const text = `{"about":${JSON.stringify(about)},\n"rows":[\n${lines.join(",\n")}\n]}\n`;
  writeFileSync(secondSourcePath, text);
  console.log(`${lines.length} objects in ${secondSourcePath}`);
}

if (process.argv[1] === fileURLToPath(import.meta.url)) main(process.argv[2] ?? ".");
