/** What a telescope can be asked to look at. */
import type { Degrees } from "../base/units.js";

/** The object's nature, in the field's words. */
export type ObjectType =
  | "galaxy"
  | "globular cluster"
  | "open cluster"
  | "planetary nebula"
  | "emission nebula"
  | "reflection nebula"
  | "supernova remnant"
  | "dark nebula"
  | "cluster with nebula"
  | "asterism"
  | "star"
  | "double star"
  | "variable star"
  | "planet"
  | "moon"
  | "position";

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
}

/** A planet or the Moon. The Sun is never a target. */
export interface BodyTarget {
  readonly kind: "body";
  /** Lower case: "jupiter", "moon". */
  readonly id: string;
  readonly name: string;
  readonly type: "planet" | "moon";
  readonly body: "Mercury" | "Venus" | "Mars" | "Jupiter" | "Saturn" | "Uranus" | "Neptune" | "Moon";
}

export type Target = FixedTarget | BodyTarget;
