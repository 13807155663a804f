/** A plan for the rest of a night, as the journal keeps it: who goes in which order, and who waits for height. */
import type { UtcMillis } from "../../base/units.js";

export interface Plan {
  /** Numbers in the order of their turns. */
  readonly order: readonly number[];
  /** Of these, the ones that stand higher later: each with the instant before which it is not taken. */
  readonly waits: readonly (readonly [number: number, fromUnixMs: UtcMillis])[];
  /** Those that found no place; they are taken where time is left over. Whoever is in neither list came later. */
  readonly left: readonly number[];
}

/** Nobody has planned yet. */
export const NO_PLAN: Plan = { order: [], waits: [], left: [] };

/** Whether two plans come to the same for those who still wait. */
export function samePlan(a: Plan, b: Plan, waits: (number: number) => boolean): boolean {
  const textOf = ({ order, waits: from, left }: Plan): string =>
    JSON.stringify([
      order.filter(waits),
      from.filter(([number]) => waits(number)),
      left.filter(waits).sort((one, two) => one - two),
    ]);
  return textOf(a) === textOf(b);
}
