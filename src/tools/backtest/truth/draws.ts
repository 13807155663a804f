/** Seeded draws for the truth: each matter has a stream of its own, so that one change leaves the rest as it was. */
import { randomLogNormal, randomPareto } from "d3-random";
import { type Random, seededRandom } from "../../../base/random.js";

/** A stream for one matter, named by numbers; the same numbers give the same stream. */
export function streamFor(...names: readonly number[]): Random {
  let hash = 0x811c9dc5;
  for (const name of names) {
    hash = Math.imul(hash ^ (name >>> 0), 0x01000193);
    hash = Math.imul(hash ^ (hash >>> 15), 0x2c1b3c6d);
    hash ^= hash >>> 12;
  }
  return seededRandom(hash);
}

/** One of the items, each as likely as any other. */
export function pick<Item>(items: readonly Item[], random: Random): Item {
  return items[Math.floor(random.uniform() * items.length)] as Item;
}

/** One of the items, with chances in proportion to their weights. */
export function pickByWeight<Item extends { readonly weight: number }>(
  items: readonly Item[],
  random: Random,
): Item {
  let left = random.uniform() * items.reduce((sum, item) => sum + item.weight, 0);
  for (const item of items) {
    left -= item.weight;
    if (left < 0) return item;
  }
  return items.at(-1) as Item;
}

/** Log-normal about a median. */
export function logNormal(median: number, spread: number, { uniform }: Random): number {
  return median * randomLogNormal.source(uniform)(0, spread)();
}

/** Pareto above `least` with the given exponent, cut off at `most`. */
export function pareto(least: number, tail: number, most: number, { uniform }: Random): number {
  return Math.min(Math.max(least, most), least * randomPareto.source(uniform)(tail)());
}
