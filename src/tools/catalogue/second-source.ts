/**
 * The second source: an independent set of figures for each deep-sky object, read for checking from the tables of Siril as
 * Debian's package siril-common 1.0.6-1 installs them (GPL-3.0-or-later; none of its rows are kept here), and from memory
 * where they have none.
 */
import { existsSync, readFileSync } from "node:fs";
import { join } from "node:path";
import type { Degrees } from "../../base/units.js";
import type { Celestial } from "./celestial.js";
import { deepSkyObjects, rowsOf } from "./objects.js";
import { fromMemory } from "./second-source-memory.js";

export interface SecondFigures {
  readonly key: string;
  readonly raDegrees: Degrees;
  readonly decDegrees: Degrees;
  readonly magnitude: number | null;
  readonly sizeArcminutes: number | null;
}

type Row = Omit<SecondFigures, "key">;

const FOLDER = "/usr/share/siril/catalogue";

/** Whether the package is there to be read. */
export const isSecondSourceInstalled = existsSync(join(FOLDER, "ngc.txt"));

/** By key: "M13", "C14", "NGC2903". @throws {Error} where the package is missing, or an object has no second source */
export function readSecondSource(celestial: Celestial): ReadonlyMap<string, SecondFigures> {
  const siril = readSiril();
  const memory = new Map(rowsOf(fromMemory).map((cells) => [cells[0] as string, cells]));
  return new Map(
    deepSkyObjects(celestial).map(({ key, id, designations }) => {
      const found = [key, id, ...designations].map((each) => siril.get(each.replace(" ", ""))).find(Boolean);
      const row = withMemory(found, memory.get(key));
      if (!row) throw new Error(`no second source for ${key}: add it to second-source-memory.ts`);
      return [key, { key, ...row }];
    }),
  );
}

/** Rows by designation without spaces. Columns: code; hours; sign; degrees; diameter; magnitude; name; alias. */
function readSiril(): Map<string, Row> {
  const rows = new Map<string, Row>();
  for (const file of ["messier.txt", "ngc.txt", "ic.txt", "sh2.txt"]) {
    for (const line of readFileSync(join(FOLDER, file), "utf8").split("\n").slice(1)) {
      const [code, hours, sign, degrees, diameter, magnitude] = line.split(";");
      if (!code || !degrees) continue;
      rows.set(code, {
        raDegrees: Number((Number(hours) * 15).toFixed(4)),
        decDegrees: Number((Number(degrees) * (sign === "-" ? -1 : 1)).toFixed(4)),
        magnitude: magnitude && Number(magnitude) < 99 ? Number(magnitude) : null,
        sizeArcminutes: Number(diameter) > 0 ? Number(diameter) : null,
      });
    }
  }
  return rows;
}

function withMemory(row: Row | undefined, cells: readonly string[] | undefined): Row | null {
  if (!cells) return row ?? null;
  const [, position = "", magnitude = ""] = cells;
  const [ra, dec] = position.split(" ").map(Number);
  return {
    raDegrees: position ? (ra as number) : (row?.raDegrees ?? 0),
    decDegrees: position ? (dec as number) : (row?.decDegrees ?? 0),
    magnitude: magnitude ? Number(magnitude) : (row?.magnitude ?? null),
    sizeArcminutes: row?.sizeArcminutes ?? null,
  };
}
