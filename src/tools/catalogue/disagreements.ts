/** Where two independent sources of one object's figures disagree by more than the catalogue lets pass. */
import { RADIANS_PER_DEGREE } from "../../base/units.js";
import type { DeepSkyObject } from "./objects.js";
import type { SecondFigures } from "./second-source.js";

/** Positions further apart than this need settling, arc minutes. */
export const POSITION_TOLERANCE_ARCMINUTES = 3;
/** Magnitudes further apart than this need settling. */
export const MAGNITUDE_TOLERANCE = 0.5;

export type Field = "position" | "magnitude" | "type" | "size";

/** Separation on the sky in arc minutes, by the haversine formula (Meeus, Astronomical Algorithms, ch. 17). */
export function separationArcminutes(
  a: { raDegrees: number; decDegrees: number },
  b: { raDegrees: number; decDegrees: number },
): number {
  const half = (degrees: number) => Math.sin((degrees * RADIANS_PER_DEGREE) / 2) ** 2;
  const cosines = Math.cos(a.decDegrees * RADIANS_PER_DEGREE) * Math.cos(b.decDegrees * RADIANS_PER_DEGREE);
  const haversine = half(a.decDegrees - b.decDegrees) + cosines * half(a.raDegrees - b.raDegrees);
  return (2 * Math.asin(Math.sqrt(Math.min(1, haversine))) * 60) / RADIANS_PER_DEGREE;
}

/**
 * The fields in which the sources disagree. For Messier and Caldwell objects a magnitude that only one source has
 * counts, and the type is compared with that from memory; the further objects take their type from the table, and a
 * magnitude without a second source isn't listed at all.
 */
export function disagreements(object: DeepSkyObject, second: SecondFigures): Field[] {
  const fields: Field[] = [];
  const { first, list, type } = object;
  if (separationArcminutes(first, second) > POSITION_TOLERANCE_ARCMINUTES) fields.push("position");
  const one = first.magnitude;
  const other = second.magnitude;
  if (
    one !== null && other !== null
      ? Math.abs(one - other) > MAGNITUDE_TOLERANCE
      : list !== "further" && one !== other
  ) {
    fields.push("magnitude");
  }
  if (list !== "further" && first.type !== type) fields.push("type");
  return fields;
}
