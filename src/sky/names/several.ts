/** Names of more than one target: a constellation, a group, a kind of object. Which one is meant has to be asked. */
import { Constellation } from "astronomy-engine";
import { CONSTELLATIONS } from "../load-constellations.js";
import { remembering } from "../memo.js";
import type { FixedTarget, Target } from "../target.js";
import { BY_NAME } from "./letters.js";
import { exactKey, plainWords } from "./plain.js";

/** What a name of several stands for. */
export interface Several {
  /** At the start of a sentence: "Taurus", "The Leo Triplet", "Galaxies". */
  readonly name: string;
  readonly what: "constellation" | "group" | "kind";
  /** In the catalogue's order; perhaps none. */
  readonly members: readonly Target[];
}

/** Row: name | its other names | members. Which belong together is general knowledge, from memory. */
const GROUPS = `
The Leo Triplet|leo trio; m66 group|M65; M66; NGC 3628
Markarian's Chain|markarian chain|M84; M86; NGC 4438; NGC 4473; NGC 4477
The Virgo Cluster|virgo galaxy cluster; virgo cluster of galaxies|M87; M86; M84; M49; M60; M58; M88; M90; M99; M100; M61
The Veil Nebula|veil; cygnus loop; veil nebula complex|NGC 6992; NGC 6960; NGC 6979
The M81 group|bodes galaxy and the cigar galaxy; m81 and m82|M81; M82; NGC 3077
The Antennae|antennae galaxies; ring tail galaxy|NGC 4038; NGC 4039
Stephan's Quintet|hickson 92|NGC 7320
The Eyes Galaxies|eyes; markarians eyes|NGC 4438; NGC 4435
The Siamese Twins|siamese twins galaxies; butterfly galaxies|NGC 4567; NGC 4568
The Coma Cluster|coma galaxy cluster|NGC 4889; Mel 111
The Perseus Cluster|perseus galaxy cluster|NGC 1275
The Fornax Cluster|fornax galaxy cluster|NGC 1399; NGC 1316; NGC 1365
The Grus Quartet|grus quartet|NGC 7552; NGC 7582
The M96 group|leo i group|M96; M95; M105
Orion's Belt|belt of orion; three kings|Alnitak; Alnilam; Mintaka
The Big Dipper|the plough; plough; great dipper|Dubhe; Merak; Phecda; Megrez; Alioth; Mizar; Alkaid
The Little Dipper|little dipper|Polaris; Kochab; Pherkad
The Summer Triangle|summer triangle|Vega; Deneb; Altair
The Winter Triangle|winter triangle|Sirius; Procyon; Betelgeuse
The Great Square of Pegasus|square of pegasus; pegasus square|Alpheratz; Scheat; Markab; Algenib
The Northern Cross|northern cross|Deneb; Sadr; Albireo
The Southern Cross|southern cross|Acrux; Mimosa; Gacrux
The Magellanic Clouds|magellanic clouds|LMC; NGC 292
`
  .trim()
  .split("\n")
  .map((row) => row.split("|").map((cell) => cell.split(";").map((each) => each.trim())));

/** Words for a kind of object, singular and plural, and what of the catalogue it is. */
const KINDS: readonly (readonly [name: string, words: RegExp, types: readonly Target["type"][]])[] = [
  ["Galaxies", /^(spiral |elliptical )?galax(y|ies)$/, ["galaxy"]],
  [
    "Nebulae",
    /^(emission )?nebulae?s?$/,
    ["emission nebula", "planetary nebula", "cluster with nebula", "supernova remnant"],
  ],
  ["Planetary nebulae", /^planetary( nebulae?s?)?$/, ["planetary nebula"]],
  ["Supernova remnants", /^supernovae?( remnants?)?$/, ["supernova remnant"]],
  ["Globular clusters", /^globulars?( star)?( clusters?)?$/, ["globular cluster"]],
  ["Open clusters", /^open( star)?( clusters?)?$/, ["open cluster"]],
  ["Clusters", /^(star )?clusters?$/, ["globular cluster", "open cluster"]],
  ["Planets", /^planets?$/, ["planet"]],
  ["Stars", /^(bright )?stars?$/, ["star", "double star"]],
  ["Double stars", /^(double|binary)( stars?)?$/, ["double star"]],
  ["Variable stars", /^variables?( stars?)?$/, ["variable star"]],
  ["Quasars", /^quasars?$/, ["quasar"]],
  ["Comets", /^comets?$/, ["comet"]],
  ["Minor planets", /^(asteroids?|minor planets?|dwarf planets?)$/, ["minor planet"]],
];

/** Spares most words the list above. */
const KIND =
  /^(galax|nebul|supernov|remnant|globular|cluster|planet|open|star|double|binary|variable|quasar|comet|asteroid)/;

/**
 * The constellation, group or kind that words name; null for anything else.
 * @param find the target of one name
 */
export function severalNamed(
  words: readonly string[],
  targets: readonly Target[],
  find: (name: string) => Target | null,
): Several | null {
  const front = words.findIndex((word) => !/^(the|an?|any|some|constellation|of)$/.test(word));
  const telling = words.slice(Math.max(0, front)).filter((word) => word !== "constellation");
  const group = groups.get(exactKey(telling));
  if (group)
    return { name: group.name, what: "group", members: group.members.flatMap((each) => find(each) ?? []) };
  const sky = constellationNamed(telling);
  if (sky !== null) {
    const [abbreviation, name] = sky;
    return { name, what: "constellation", members: byConstellation(targets).get(abbreviation) ?? [] };
  }
  const kind =
    KIND.test(telling.at(-1) ?? "") && KINDS.find(([, pattern]) => pattern.test(telling.join(" ")));
  return kind
    ? { name: kind[0], what: "kind", members: targets.filter(({ type }) => kind[2].includes(type)) }
    : null;
}

/** The abbreviation of the constellation in which a target stands; null for what moves. */
export function constellationOf(target: Target): string | null {
  return target.kind === "fixed" ? constellationAt(target) : null;
}

/** Abbreviation and name, by the name alone: an abbreviation or a genitive belongs to a star. */
function constellationNamed(words: readonly string[]): readonly [string, string] | null {
  const known = BY_NAME.get(words.join(""));
  const row = known && CONSTELLATIONS.find(([abbreviation]) => abbreviation === known.abbreviation);
  return row && plainWords(row[1]).join("") === words.join("") ? [row[0], row[1]] : null;
}

const groups = new Map(
  GROUPS.flatMap(([[name = ""] = [], others = [], members = []]) => {
    const own = name.toLowerCase().replace(/^the /, "").replace(/'/g, "");
    return [own, ...others].map(
      (each) => [exactKey(each.split(" ").filter((word) => word !== "the")), { name, members }] as const,
    );
  }),
);

const byConstellation = remembering(2, (targets: readonly Target[]) => {
  const map = new Map<string, Target[]>();
  for (const target of targets) {
    const abbreviation = constellationOf(target);
    if (abbreviation === null || target.type === "position") continue;
    map.set(abbreviation, [...(map.get(abbreviation) ?? []), target]);
  }
  return map;
});

/** By the boundaries of Delporte (1930), as the ephemeris library has them. */
function constellationAt({ raDegrees, decDegrees }: FixedTarget): string {
  return Constellation(raDegrees / 15, decDegrees).symbol;
}
