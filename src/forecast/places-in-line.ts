/** Places in line by the starts that people are told: whoever is told the earlier start has the smaller place. */
import type { UtcMillis } from "../base/units.js";
import type { Turn } from "./night-run.js";

/**
 * 1-based places by request number, in order.
 * @param turns of the central run, in its order: it decides between equal starts
 * @param startOf the start that people are told for a turn
 */
export function placesByStart(
  turns: readonly Turn[],
  startOf: (turn: Turn) => UtcMillis,
): ReadonlyMap<number, number> {
  const starts = turns.map(startOf);
  const order = starts.map((_, index) => index).sort((a, b) => starts[a]! - starts[b]! || a - b);
  return new Map(order.map((index, place) => [turns[index]!.number, place + 1]));
}
