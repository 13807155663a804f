/** Places as people are told them: worked out once for each night and spread. */
import type { UtcMillis } from "../base/units.js";
import type { Turn } from "../forecast/night-run.js";
import { placesByStart } from "../forecast/places-in-line.js";
import type { Baseline } from "./baseline.js";
import type { LiveSpread } from "./live-spread.js";
import type { Tonight } from "./tonight.js";

export class PlacesAsTold {
  private known: {
    readonly tonight: Tonight;
    readonly baseline: Baseline | null;
    readonly places: ReadonlyMap<number, number>;
  } | null = null;

  /** @param spread null where estimates are those of the central run alone */
  constructor(private readonly spread: LiveSpread | null) {}

  /** By the starts that are told, so that no surface shows a later place with an earlier time. */
  of(tonight: Tonight): ReadonlyMap<number, number> {
    const { spread } = this;
    const baseline = spread?.latest() ?? null;
    if (this.known?.tonight !== tonight || this.known.baseline !== baseline) {
      const startOf = (turn: Turn): UtcMillis => spread?.startOf(turn, tonight) ?? turn.takenUnixMs;
      this.known = { tonight, baseline, places: placesByStart(tonight.run.turns, startOf) };
    }
    return this.known.places;
  }
}
