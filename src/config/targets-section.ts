/** What a site adds to the catalogue: orbits of small bodies from a file, and targets of its own. */
import { readFileSync } from "node:fs";
import { dirname, resolve } from "node:path";
import { z } from "zod";
import { Refusal } from "../base/refusal.js";
import { shown } from "../observatory/observatory-schema.js";
import { positionFromId, positionTarget } from "../sky/names/coordinates-position.js";
import { readCoordinates } from "../sky/names/coordinates-text.js";
import { plainWords } from "../sky/names/plain.js";
import { readOrbits } from "../sky/small-bodies/orbit-lines.js";
import { FIXED_TYPES, type NamedTarget } from "../sky/target.js";

const coordinates = z.string().refine((text) => {
  const read = readCoordinates(text);
  return positionFromId(text) !== null || (read !== null && !("problem" in read));
}, "right ascension and declination (J2000) such as 05 35 17 -05 23 28");

const own = z.strictObject({
  name: shown(40).refine((name) => plainWords(name).length > 0, "a name with letters or digits"),
  coordinates,
  /** What the class shall know of it; shown with the target. */
  note: shown(200).optional(),
  type: z.enum(FIXED_TYPES).default("position"),
  magnitude: z.number().min(-5).max(30).nullable().default(null),
  /** Largest apparent size. */
  sizeArcminutes: z.number().positive().max(600).nullable().default(null),
});

export const targetsSection = z.strictObject({
  /** A file of the Minor Planet Center's one-line orbits, beside the configuration. */
  orbits: shown(1_000).nullable().default(null),
  /** Targets of the class; found before all others. */
  own: z.array(own).max(200).default([]),
});

type TargetsSection = z.output<typeof targetsSection>;

/**
 * The section with the file's whole path, once the file has been read without a fault.
 * @throws {Refusal} code "orbits-unreadable", naming the line
 */
export function withOrbitsPath(section: TargetsSection, source: string): TargetsSection {
  if (section.orbits === null) return section;
  const orbits = resolve(dirname(source), section.orbits);
  readOrbitFile(orbits);
  return { ...section, orbits };
}

/**
 * What a loaded configuration adds to the catalogue, most sought first.
 * @throws {Refusal} as `withOrbitsPath`
 */
export function furtherTargets({ own, orbits }: TargetsSection): readonly NamedTarget[] {
  return [...own.map(ownTarget), ...(orbits === null ? [] : readOrbitFile(orbits))];
}

function ownTarget({
  name,
  coordinates: text,
  note,
  type,
  magnitude,
  sizeArcminutes,
}: TargetsSection["own"][number]): NamedTarget {
  const read = readCoordinates(text);
  const place = read !== null && !("problem" in read) ? positionTarget(read) : positionFromId(text);
  const { raDegrees, decDegrees } = place as { raDegrees: number; decDegrees: number };
  const id = plainWords(name).join("-");
  const told = note === undefined ? {} : { note };
  return {
    target: { kind: "fixed", id, name, type, raDegrees, decDegrees, magnitude, sizeArcminutes, ...told },
    names: [name],
  };
}

function readOrbitFile(path: string): readonly NamedTarget[] {
  let text: string;
  try {
    text = readFileSync(path, "utf8");
  } catch (error) {
    const sentence = `${path}: this file of orbits cannot be read; mend targets.orbits, or leave it out.`;
    throw new Refusal("orbits-unreadable", sentence, { cause: error });
  }
  const { bodies, faults } = readOrbits(text);
  const [fault] = faults;
  if (fault === undefined) return bodies;
  throw new Refusal(
    "orbits-unreadable",
    `${path}, line ${fault.line}: ${fault.what}; copy whole lines as the Minor Planet Center publishes them.`,
  );
}
