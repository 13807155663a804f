/** Passing cloud over the practice telescope. */
import { seededRandom } from "../../base/random.js";
import { MINUTE, type UtcMillis } from "../../base/units.js";
import type { Equipment } from "../../journal/events.js";

/** Thick enough to hide everything, the Moon included, magnitudes. */
export const THICK_CLOUD = 14;
/** A cloud stays, or stays away, this long. */
const SPELL = 12 * MINUTE;

/**
 * How much cloud dims the sky at an instant, magnitudes: all of it when cloud is reported, otherwise by chance.
 * @param fraction share of the night lost to passing cloud, 0 to 1
 */
export function cloudMagnitudesAt(
  unixMs: UtcMillis,
  sky: Equipment["sky"],
  fraction: number,
  seed: number,
): number {
  if (sky === "cloud") return THICK_CLOUD;
  return cloudyAt(unixMs, fraction, seed) ? THICK_CLOUD : 0;
}

/** Whether passing cloud covers the sky at an instant, by chance alone. */
export function cloudyAt(unixMs: UtcMillis, fraction: number, seed: number): boolean {
  const spell = Math.floor(unixMs / SPELL);
  return seededRandom(seed * 7_919 + spell).uniform() < fraction;
}

/** When the present spell of cloud or of clear sky may end. */
export function spellEnd(unixMs: UtcMillis): UtcMillis {
  return (Math.floor(unixMs / SPELL) + 1) * SPELL;
}
