/** Places as people are told them: worked out once for each night and spread. */
import type { UtcMillis } from "../base/units.js";
import type { Turn } from "../forecast/night-run.js";
import type { Baseline } from "./baseline.js";
import type { ForeseenNight } from "./foreseen-night.js";
import type { LiveSpread } from "./live-spread.js";

export class PlacesAsTold {
  private known: {
    readonly tonight: ForeseenNight;
    readonly baseline: Baseline | null;
    readonly places: ReadonlyMap<number, number>;
  } | null = null;

  /** @param spread null where estimates are those of the central run alone */
  constructor(private readonly spread: LiveSpread | null) {}

  /** By the starts that are told, so that no surface shows a later place with an earlier time. */
  of(tonight: ForeseenNight): ReadonlyMap<number, number> {
    const { spread } = this;
    const baseline = spread?.latest() ?? null;
    if (this.known?.tonight !== tonight || this.known.baseline !== baseline) {
      const startOf = (turn: Turn): UtcMillis => spread?.startOf(turn, tonight) ?? turn.takenUnixMs;
      this.known = { tonight, baseline, places: placesByStart(tonight.run.turns, startOf) };
    }
    return this.known.places;
  }
}

/**
 * 1-based places by request number, in order.
 * @param turns of the central run, in its order: it decides between equal starts
 * @param startOf the start that people are told for a turn
 */
function placesByStart(
  turns: readonly Turn[],
  startOf: (turn: Turn) => UtcMillis,
): ReadonlyMap<number, number> {
  const starts = turns.map(startOf);
  const order = starts.map((_, index) => index).sort((a, b) => starts[a]! - starts[b]! || a - b);
  return new Map(order.map((index, place) => [turns[index]!.number, place + 1]));
}
