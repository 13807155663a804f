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
  const spell = Math.floor(unixMs / SPELL);
  return seededRandom(seed * 7_919 + spell).uniform() < fraction ? THICK_CLOUD : 0;
}
