/** What a telescope can be asked to look at. */
import type { Degrees } from "../base/units.js";
import type { Orbit } from "./small-bodies/orbit.js";

/** What keeps its place among the stars, in the field's words. */
export const FIXED_TYPES = [
  "galaxy",
  "globular cluster",
  "open cluster",
  "planetary nebula",
  "emission nebula",
  "reflection nebula",
  "supernova remnant",
  "dark nebula",
  "cluster with nebula",
  "asterism",
  "star",
  "double star",
  "variable star",
  "quasar",
  "position",
] as const;

/** The object's nature. */
export type ObjectType = (typeof FIXED_TYPES)[number] | "planet" | "minor planet" | "comet" | "moon";

/** Something that keeps its place among the stars. */
export interface FixedTarget {
  readonly kind: "fixed";
  /** Short stable designation without spaces, such as "M13", "NGC7000", "C14", "J053517-052328". */
  readonly id: string;
  /** What people call it: "Ring Nebula (M57)" or the designation with a space. */
  readonly name: string;
  readonly type: ObjectType;
  /** Right ascension and declination, ICRS (J2000), degrees. */
  readonly raDegrees: Degrees;
  readonly decDegrees: Degrees;
  /** Visual magnitude, integrated; null where none is listed. */
  readonly magnitude: number | null;
  /** Largest apparent size, arc minutes; null for stars and where none is listed. */
  readonly sizeArcminutes: number | null;
  /** The shorter axis, arc minutes; left out where it is as long, or not known. */
  readonly shorterArcminutes?: number;
  /** Both axes of the part that holds nearly all the light, arc minutes; left out where that is the whole. */
  readonly brightArcminutes?: readonly [number, number];
  /** What staff tell of a target that they added. */
  readonly note?: string;
}

/** A planet, Pluto or the Moon. The Sun is never a target. */
export interface BodyTarget {
  readonly kind: "body";
  /** Lower case: "jupiter", "moon". */
  readonly id: string;
  readonly name: string;
  readonly type: "planet" | "moon";
  readonly body:
    | "Mercury"
    | "Venus"
    | "Mars"
    | "Jupiter"
    | "Saturn"
    | "Uranus"
    | "Neptune"
    | "Pluto"
    | "Moon";
}

/** A minor planet or a comet: it carries its elements, so that a request keeps those it was made with. */
export interface SmallBodyTarget {
  readonly kind: "orbit";
  /** "Ceres", "10P", "C2026A2". */
  readonly id: string;
  /** "Ceres", "10P/Tempel". */
  readonly name: string;
  readonly type: "minor planet" | "comet";
  readonly orbit: Orbit;
}

export type Target = FixedTarget | BodyTarget | SmallBodyTarget;

/** A target with all its names as people write them. */
export interface NamedTarget {
  readonly target: Target;
  readonly names: readonly string[];
}
