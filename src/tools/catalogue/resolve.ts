/** The figures that the catalogue gives for an object: the first source's, unless a disagreement was settled. */
import type { ObjectType } from "../../sky/target.js";
import { brightParts } from "./bright-parts.js";
import { disagreements } from "./disagreements.js";
import type { DeepSkyObject } from "./objects.js";
import type { SecondFigures } from "./second-source.js";
import { type Settlement, settlements } from "./settlements.js";

export interface Resolved {
  readonly raDegrees: number;
  readonly decDegrees: number;
  readonly magnitude: number | null;
  readonly sizeArcminutes: number | null;
  /** null where it is as long as the other. */
  readonly shorterArcminutes: number | null;
  readonly brightArcminutes: readonly [number, number] | null;
  readonly type: ObjectType;
}

/**
 * Positions to 0.0001°, magnitudes to 0.1, sizes to 0.1′: the larger of both sources' sizes, since isophotes of
 * different depth are the usual reason for them to differ.
 * @throws {Error} naming an object and field whose disagreement isn't settled
 */
export function resolve(object: DeepSkyObject, second: SecondFigures): Resolved {
  const settled = new Map(
    settlements.filter((each) => each.key === object.key).map((each) => [each.field, each]),
  );
  const open = disagreements(object, second).find((field) => !settled.has(field));
  if (open)
    throw new Error(`${object.key}: the sources disagree about its ${open}; settle it in settlements-*.ts`);
  const { first } = object;
  const [ra, dec] = numbers(settled.get("position")) ?? [first.raDegrees, first.decDegrees];
  const sizes = [first.sizeArcminutes, second.sizeArcminutes].filter((size) => size !== null);
  const listed = first.magnitude !== null && (second.magnitude !== null || object.list !== "further");
  const bright = brightParts.get(object.key);
  const magnitude =
    bright?.magnitude ?? numbers(settled.get("magnitude"))?.[0] ?? (listed ? first.magnitude : null);
  const size = numbers(settled.get("size"))?.[0] ?? (sizes.length > 0 ? Math.max(...sizes) : null);
  return {
    raDegrees: rounded(ra as number, 4),
    decDegrees: rounded(dec as number, 4),
    magnitude: magnitude === null ? null : rounded(magnitude, 1),
    sizeArcminutes: size === null ? null : rounded(size, 1),
    shorterArcminutes: shorterAxis(object, size, numbers(settled.get("size"))?.[1]),
    brightArcminutes: bright?.axesArcminutes ?? null,
    type: object.type,
  };
}

/** Star clusters are round, whatever ellipse a table draws about some of their stars. */
const ROUND: readonly ObjectType[] = ["globular cluster", "open cluster", "cluster with nebula", "asterism"];
/** Rounder than this is round. */
const NEARLY_ROUND = 0.95;

function shorterAxis(
  { first, type }: DeepSkyObject,
  size: number | null,
  settled: number | undefined,
): number | null {
  if (size === null || ROUND.includes(type)) return null;
  const shorter = settled ?? size * first.axisRatio;
  return shorter > NEARLY_ROUND * size ? null : rounded(shorter, 1);
}

function numbers(settlement: Settlement | undefined): number[] | null {
  return settlement ? settlement.value.split(" ").map(Number) : null;
}

/** To so many decimal places. */
export function rounded(value: number, places: number): number {
  return Number(value.toFixed(places));
}
