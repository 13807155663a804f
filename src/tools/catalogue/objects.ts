/** The deep-sky objects to be catalogued: ids, natures, names and designations, read from the tables beside this file. */
import type { ObjectType } from "../../sky/target.js";
import { caldwellTable } from "./caldwell-table.js";
import type { Celestial, Figures } from "./celestial.js";
import { celestialKeys, furtherNames } from "./further-names.js";
import { furtherTable } from "./further-table.js";
import { messierTable } from "./messier-table.js";

export interface DeepSkyObject {
  readonly id: string;
  /** In which list it stands; Messier and Caldwell are checked most strictly. */
  readonly list: "messier" | "caldwell" | "further";
  /** "C14" for Caldwell objects, the key under which settlements and the second source file it; else the id. */
  readonly key: string;
  /** From memory. */
  readonly type: ObjectType;
  readonly names: readonly string[];
  /** The name that it is shown by; null where the designation is. */
  readonly leads: string | null;
  readonly designations: readonly string[];
  readonly first: Figures;
}

/** Messier, then Caldwell, then the further ones. @throws {Error} naming an object that d3-celestial lacks */
export function deepSkyObjects(celestial: Celestial): DeepSkyObject[] {
  return [...messierObjects(celestial), ...caldwellObjects(celestial), ...furtherObjects(celestial)];
}

function messierObjects(celestial: Celestial): DeepSkyObject[] {
  return rowsOf(messierTable).map(([number, type, names, designations]) => {
    const id = `M${number}`;
    const table = celestial.messier(Number(number));
    const given = designationsOf(table.designation);
    // The deep-sky table has the finer positions, the Messier table the sounder magnitudes, sizes and types.
    const fine = celestial.object(`M ${number}`) ?? given.map((each) => celestial.object(each)).find(Boolean);
    return {
      ...{ id, key: id, list: "messier" as const, type: type as ObjectType, ...namesIn(names) },
      designations: [`Messier ${number}`, ...given, ...listOf(designations)],
      first: fine
        ? {
            ...table,
            raDegrees: fine.raDegrees,
            decDegrees: fine.decDegrees,
            axisRatio: ratioOf(fine, table),
          }
        : table,
    };
  });
}

/** Both tables round; the longer the axes, the finer the ratio. */
function ratioOf(fine: Figures, table: Figures): number {
  return (fine.sizeArcminutes ?? 0) > 0 ? fine.axisRatio : table.axisRatio;
}

function caldwellObjects(celestial: Celestial): DeepSkyObject[] {
  return rowsOf(caldwellTable).map(([number, entry, type, names, designations]) => {
    const id = (entry as string).replace(" ", "");
    return {
      ...{ id, key: `C${number}`, list: "caldwell" as const, type: type as ObjectType, ...namesIn(names) },
      designations: [`C ${number}`, `Caldwell ${number}`, entry as string, ...listOf(designations)],
      first: firstOf(celestial, id),
    };
  });
}

function furtherObjects(celestial: Celestial): DeepSkyObject[] {
  const named = new Map(rowsOf(furtherNames).map((row) => [row[0], row]));
  return Object.entries(furtherTable).flatMap(([type, ids]) =>
    ids
      .trim()
      .split(/\s+/)
      .map((id) => ({
        ...{ id, key: id, list: "further" as const, type: type as ObjectType },
        ...namesIn(named.get(id)?.[1]),
        designations: [spaced(id), ...listOf(named.get(id)?.[2])],
        first: firstOf(celestial, id),
      })),
  );
}

function firstOf(celestial: Celestial, id: string): Figures {
  const key = celestialKeys[id] ?? spaced(id);
  const figures = celestial.object(key);
  if (!figures) throw new Error(`d3-celestial has no ${key}`);
  return figures;
}

/** "NGC7000" as "NGC 7000". */
export function spaced(id: string): string {
  return id.replace(/^([A-Za-z]+)(\d)/, "$1 $2");
}

/** "NGC 650/1" names two entries; the companion of M51 is listed by itself. */
function designationsOf(text: string): string[] {
  const pair = /^(NGC) (\d+)\/(\d)$/.exec(text);
  if (!pair) return text === "" || text.startsWith("WN") ? [] : [text];
  const [, catalogue, first, digit] = pair as unknown as [string, string, string, string];
  const second = first.slice(0, -1) + digit;
  return second === "5195" ? [`${catalogue} ${first}`] : [`${catalogue} ${first}`, `${catalogue} ${second}`];
}

/** The cells of each row of a table. */
export function rowsOf(table: string): string[][] {
  return table
    .trim()
    .split("\n")
    .map((row) => row.split("|").map((cell) => cell.trim()));
}

/** A "~" before them says that none leads. */
function namesIn(cell = ""): Pick<DeepSkyObject, "names" | "leads"> {
  const names = listOf(cell.replace(/^~/, ""));
  return { names, leads: cell.startsWith("~") ? null : (names[0] ?? null) };
}

function listOf(cell: string | undefined): string[] {
  return cell
    ? cell
        .split(";")
        .map((each) => each.trim())
        .filter(Boolean)
    : [];
}
