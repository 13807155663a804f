/**
 * Nights as classes may have them, for a site that has seen none: some ask in daylight, most in class, in bursts of
 * which one may be the whole class, a few until dawn. They are unlike one another on purpose. Common practice, no source.
 */
import { seededRandom } from "../../base/random.js";
import { HOUR, MINUTE, type UtcMillis } from "../../base/units.js";
import { CLASS_TIER } from "./beliefs.js";
import type { AskedNight } from "./past-nights.js";

const NIGHTS = 60;
/** A night brings about as much as so many hours at the configured rate, give or take (logarithm). */
const FULL_HOURS = 7;
const SIZE_SD = 0.8;

/** Requests counted from dusk, ascending. */
let made: readonly (readonly number[])[] | null = null;
let madePerHour = Number.NaN;

/** The same nights for the same rate, moved to tonight's dusk. */
export function inventedNights(
  perHour: number,
  duskUnixMs: UtcMillis,
  endUnixMs: UtcMillis,
): readonly Pick<AskedNight, "askedUnixMs" | "tiers">[] {
  if (made === null || madePerHour !== perHour) {
    made = perHour === 0 ? [] : Array.from({ length: NIGHTS }, (_, index) => invent(perHour, index + 1));
    madePerHour = perHour;
  }
  return made.map((fromDusk) => {
    const askedUnixMs = fromDusk.map((ms) => duskUnixMs + ms).filter((unixMs) => unixMs < endUnixMs);
    return { askedUnixMs, tiers: askedUnixMs.map(() => CLASS_TIER) };
  });
}

function invent(perHour: number, seed: number): readonly number[] {
  const { uniform, normal, exponential, poisson } = seededRandom(seed);
  const size = perHour * FULL_HOURS * Math.exp(SIZE_SD * normal());
  const begins = 75 * MINUTE * uniform();
  const lasts = (60 + 90 * uniform()) * MINUTE;
  const asked: number[] = [];
  const some = (count: number, from: number, length: number): void => {
    for (let each = poisson(count); each > 0; each--) asked.push(from + uniform() * length);
  };
  some(0.2 * size, begins - 4 * HOUR, 4 * HOUR);
  some(0.2 * size, begins, lasts);
  some(0.15 * size, begins + lasts, 7 * HOUR);
  const together = uniform() < 0.25 ? size : 8;
  for (let left = 0.45 * size; left > 0; ) {
    const burst = Math.min(left, 1 + exponential(together));
    const length = (1 + 7 * uniform()) * MINUTE;
    some(burst, begins + uniform() * Math.max(0, lasts - length), length);
    left -= burst;
  }
  return asked.sort((a, b) => a - b);
}
