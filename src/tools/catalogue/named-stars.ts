/** The stars of star-table.ts with their places and every way of writing them. */
import { BY_NAME, type Constellation, LETTERS, splitStar } from "../../sky/names/letters.js";
import { plainWords } from "../../sky/names/plain.js";
import type { ObjectType } from "../../sky/target.js";
import type { Celestial, CelestialStar } from "./celestial.js";
import { rowsOf } from "./objects.js";
import { rounded } from "./resolve.js";
import { starTable } from "./star-table.js";

export interface NamedStar {
  readonly id: string;
  readonly name: string;
  readonly type: ObjectType;
  readonly raDegrees: number;
  readonly decDegrees: number;
  readonly magnitude: number;
  readonly aliases: readonly string[];
}

/** Brightest first. @throws {Error} naming a row that Hipparcos doesn't have under that designation */
export function namedStars(celestial: Celestial): NamedStar[] {
  const stars = Object.entries(starTable).flatMap(([type, table]) =>
    rowsOf(table).map((row) => namedStar(row, type as ObjectType, celestial.stars)),
  );
  return stars.sort((a, b) => a.magnitude - b.magnitude || (a.id < b.id ? -1 : 1));
}

function namedStar(row: readonly string[], type: ObjectType, stars: readonly CelestialStar[]): NamedStar {
  const [designation, written, further] = row as [string, string, string];
  const proper = written.replace(/^~/, "");
  const star = stars
    .filter((each) => hasDesignation(each, designation))
    .sort((a, b) => a.magnitude - b.magnitude)[0];
  if (!star) throw new Error(`no star ${designation}`);
  const spelled = spelledOut(designation);
  const name = proper === written ? proper || spelled : spelled;
  return {
    // Kept in journals, whatever the name that leads.
    id: (proper || spelled).replace(/[^A-Za-z0-9]/g, ""),
    name,
    type,
    raDegrees: star.raDegrees,
    decDegrees: star.decDegrees,
    magnitude: rounded(star.magnitude, 1),
    aliases: [
      ...new Set([
        proper,
        spelled,
        designation,
        ...flamsteed(star),
        ...further.split(";"),
        `HIP ${star.hipparcos}`,
      ]),
    ]
      .map((alias) => alias.trim())
      .filter((alias) => alias !== "" && alias !== name),
  };
}

function hasDesignation(star: CelestialStar, designation: string): boolean {
  if (designation === `HIP ${star.hipparcos}`) return true;
  if (!designation.endsWith(` ${star.constellation}`)) return false;
  const letters = designation.slice(0, -4).trim();
  return [star.bayer, star.flamsteed, star.variable].includes(letters);
}

function flamsteed(star: CelestialStar): string[] {
  const constellation = constellationNamed(star.constellation);
  return star.flamsteed && constellation ? [`${star.flamsteed} ${constellation.genitive}`] : [];
}

/** "α Lyr" as "Alpha Lyrae", "β1 Cyg" as "Beta Cygni", "RR Lyr" as "RR Lyrae". */
function spelledOut(designation: string): string {
  const parts = bayerWords(designation);
  const constellation = constellationNamed(designation.slice(-3));
  if (parts) return `${greekName(parts.letter)} ${parts.constellation.genitive}`;
  return constellation ? `${designation.slice(0, -4)} ${constellation.genitive}` : designation;
}

/** "Lyr", "Lyra" or "Lyrae"; null for anything else. */
function constellationNamed(text: string): Constellation | null {
  return BY_NAME.get(plainWords(text).join("")) ?? null;
}

/** "alpha" as "Alpha". */
function greekName(letter: string): string {
  return letter.charAt(0).toUpperCase() + letter.slice(1);
}

interface BayerWords {
  /** "alpha". */
  readonly letter: string;
  /** "1" of β1, else empty. */
  readonly index: string;
  readonly constellation: Constellation;
}

/** "α Lyr", "beta-1 Cygni", "alf lyr"; null when it isn't a Greek letter with a constellation. */
function bayerWords(text: string): BayerWords | null {
  const split = splitStar(plainWords(text));
  const match = split && /^(\D+)(\d?)$/.exec(split.front);
  const letter = match ? LETTERS.get(match[1] as string) : undefined;
  return split && match && letter
    ? { letter, index: match[2] as string, constellation: split.constellation }
    : null;
}
