/**
 * Makes src/sky/data/catalogue.json from d3-celestial and the tables beside this file. Run after a build, when a table
 * changed: node dist/tools/catalogue/catalogue.js. Fails on any unsettled disagreement with the second source.
 */
import { writeFileSync } from "node:fs";
import { fileURLToPath } from "node:url";
import { type Coordinates, readCoordinates } from "../../sky/names/coordinates-text.js";
import { plainWords } from "../../sky/names/plain.js";
import { type Celestial, readCelestial } from "./celestial.js";
import { namedStars } from "./named-stars.js";
import { type DeepSkyObject, deepSkyObjects, rowsOf, spaced } from "./objects.js";
import { resolve, rounded } from "./resolve.js";
import { readSecondSource } from "./second-source.js";
import { typedTargets } from "./typed-targets.js";

/**
 * id, name, type, right ascension, declination, magnitude, size, all names as bare words separated by ";"; then, where they
 * differ from the size, the shorter axis (else null) and the axes of the bright part.
 */
type Row = readonly [
  ...[string, string, string, number, number, number | null, number | null, string],
  ...[(number | null)?, (readonly [number, number])?],
];

const target = fileURLToPath(new URL("../../sky/data/catalogue.json", import.meta.url));

/** "Ring Nebula (M57)"; M102 says which galaxy it is taken to be; nameless ones are their designation. */
function nameOf({ id, leads }: DeepSkyObject): string {
  if (id === "M102") return `${leads} (M102, NGC 5866)`;
  const designation = spaced(id).replace(/^(M|C) /, "$1");
  return leads === null ? designation : `${leads} (${designation})`;
}

function deepSkyRows(celestial: Celestial, wanted: (object: DeepSkyObject) => boolean): Row[] {
  const second = readSecondSource(celestial);
  return deepSkyObjects(celestial)
    .filter(wanted)
    .map((object) => {
      const { id, key, names, designations } = object;
      const other = second.get(key);
      if (!other) throw new Error(`no second source for ${key}`);
      const { type, raDegrees, decDegrees, magnitude, sizeArcminutes, ...axes } = resolve(object, other);
      const { shorterArcminutes: shorter, brightArcminutes: bright } = axes;
      const written = barely([id, ...designations, ...names]);
      const row = [
        id,
        nameOf(object),
        type,
        raDegrees,
        decDegrees,
        magnitude,
        sizeArcminutes,
        written,
      ] as const;
      if (bright !== null) return [...row, shorter, bright];
      return shorter === null ? row : [...row, shorter];
    });
}

/** As the look-up compares them, so that loading needs no normalising. */
function barely(names: readonly string[]): string {
  return [...new Set(names.map((name) => plainWords(name).join(" ")))]
    .filter((name) => name !== "")
    .join(";");
}

function starRows(celestial: Celestial): Row[] {
  return namedStars(celestial).map((star) => [
    ...([star.id, star.name, star.type, star.raDegrees, star.decDegrees, star.magnitude, null] as const),
    barely([star.id, star.name, ...star.aliases]),
  ]);
}

function typedRows(): Row[] {
  return rowsOf(typedTargets).map((cells) => {
    const [id, name, type, place, magnitude, size, further] = cells as [
      string,
      string,
      string,
      string,
      string,
      string,
      string,
    ];
    const { raDegrees, decDegrees } = readCoordinates(place) as Coordinates;
    const figure = (text: string): number | null => (text === "" ? null : Number(text));
    return [
      ...([id, name, type, rounded(raDegrees, 4), rounded(decDegrees, 4)] as const),
      ...([figure(magnitude), figure(size), barely([id, name, ...further.split(";")])] as const),
    ];
  });
}

/** The data file's text. @throws {Error} naming an unsettled disagreement or an object that a source lacks */
export function catalogueText(): string {
  const celestial = readCelestial();
  const rows = [
    ...deepSkyRows(celestial, (object) => object.list !== "further"),
    ...starRows(celestial),
    ...typedRows(),
    ...deepSkyRows(celestial, (object) => object.list === "further"),
  ];
  const about = {
    source: `d3-celestial ${celestial.version}, checked against a second source; see README.md beside this file`,
    licence: `${celestial.licence}, Copyright (c) 2015, Olaf Frohn`,
    columns:
      "id, name, type, right ascension and declination (ICRS J2000, degrees), magnitude, size (arc minutes), names as bare words, shorter axis where it differs, axes of the bright part",
  };
  const lines = rows.map((row) => JSON.stringify(row)).join(",\n");
  return `{"about":${JSON.stringify(about)},\n"rows":[\n${lines}\n]}\n`;
}

if (process.argv[1] === fileURLToPath(import.meta.url)) {
  writeFileSync(target, catalogueText());
  console.log(`catalogue written to ${target}`);
}
