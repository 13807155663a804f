/** The catalogue of targets: what catalogue.ts promises, over the data file that src/tools/catalogue/catalogue.ts makes. */
import { readFileSync } from "node:fs";
import { beginningNearly } from "./names/beginnings.js";
import { bodies } from "./names/bodies.js";
import type { Catalogue, LookUp } from "./names/catalogue.js";
import { positionFromId, positionTarget } from "./names/coordinates-position.js";
import { readCoordinates } from "./names/coordinates-text.js";
import { indexNames, type NameIndex } from "./names/index-of-names.js";
import { nearestTargets } from "./names/nearest.js";
import { noTarget } from "./names/no-target.js";
import { LONGEST_NAME, plainWords } from "./names/plain.js";
import { type Several, severalNamed } from "./names/several.js";
import { isSun, SUN_SENTENCE } from "./names/sun.js";
import type { FixedTarget, NamedTarget, Target } from "./target.js";

type Row = readonly [
  ...[string, string, FixedTarget["type"], number, number, number | null, number | null, string],
  ...[(number | null)?, (readonly [number, number])?],
];

/**
 * Reads the data file and indexes every name.
 * @param further what a site adds, found before all others
 * @throws {Error} when the data file is missing
 */
export function loadCatalogue(further: readonly NamedTarget[] = []): Catalogue {
  const { rows } = JSON.parse(readFileSync(new URL("./data/catalogue.json", import.meta.url), "utf8")) as {
    rows: Row[];
  };
  const written = [
    ...further.map(({ target, names }) => ({
      target,
      names: names.map((name) => plainWords(name).join(" ")),
    })),
    ...bodies,
    ...rows.map((row) => ({ target: targetOf(row), names: row[7].split(";") })),
  ];
  const index = indexNames(written);
  const targets: readonly Target[] = written.map(({ target }) => target);
  const several = (words: readonly string[]): Several | null =>
    severalNamed(words, targets, (name) => index.find(plainWords(name)));
  const ids = new Map([...targets].reverse().map((target) => [target.id, target]));
  return {
    targets,
    byId: (id) => ids.get(id) ?? positionFromId(id),
    lookUp: (text) => lookUp(text.trim(), index, several),
    startingWith: (text, limit) => {
      const words = plainWords(text);
      return words.length === 0
        ? targets.slice(0, limit).map((target) => ({ target, fit: 1 }))
        : beginningNearly(words, index.names, limit, (typed, least) => nearestTargets(typed, index, least));
    },
  };
}

function lookUp(
  text: string,
  index: NameIndex,
  severalOf: (words: readonly string[]) => Several | null,
): LookUp {
  const words = plainWords(text);
  if (isSun(text, words)) return { found: null, refused: "sun", sentence: SUN_SENTENCE };
  if (words.length === 0) {
    const sentence =
      "Say which target: a name such as M13, Ring Nebula or Vega, or coordinates such as 05 35 17 -05 23 28.";
    return { found: null, refused: "empty", sentence };
  }
  if (text.length > LONGEST_NAME) return { found: null, suggestions: [] };
  const position = positionFromId(text.replace(/−/g, "-"));
  if (position) return { found: position };
  const coordinates = readCoordinates(text);
  if (coordinates && "problem" in coordinates) {
    return { found: null, refused: "bad-coordinates", sentence: coordinates.problem };
  }
  if (coordinates) return { found: positionTarget(coordinates) };
  const none = noTarget(words);
  if (none) return { found: null, refused: "no-target", ...none };
  const several = index.has(words) ? null : severalOf(words);
  if (several) return { found: null, several };
  const found = index.find(words);
  if (found) return { found };
  // Looked for only where they are read: most look-ups ask whether there is such a name at all.
  return {
    found,
    get suggestions() {
      return nearestTargets(words, index);
    },
  };
}

function targetOf([
  id,
  name,
  type,
  raDegrees,
  decDegrees,
  magnitude,
  sizeArcminutes,
  ,
  shorter,
  bright,
]: Row): FixedTarget {
  return {
    ...{ kind: "fixed", id, name, type, raDegrees, decDegrees, magnitude, sizeArcminutes },
    ...(shorter === undefined || shorter === null ? {} : { shorterArcminutes: shorter }),
    ...(bright === undefined ? {} : { brightArcminutes: bright }),
  };
}
