/** What the class asks for: a season's favourites, mostly things that are up, exposures of all lengths. */
import type { Random } from "../../../base/random.js";
import { HOUR, type UtcMillis } from "../../../base/units.js";
import type { Observatory } from "../../../observatory/observatory.js";
import type { Wish } from "../../../queue/request.js";
import { targetNights } from "../../../queue/target-night.js";
import type { Target } from "../../../sky/target.js";
import { pick, pickByWeight } from "./draws.js";
import type { Truth } from "./parameters.js";

/** Draws one wish made at an instant. */
export type Wisher = (askedUnixMs: UtcMillis, random: Random) => Wish;

/** A favourite that nobody finds up is looked for so often before anything goes. */
const TRIES = 12;

/**
 * @param targets what can be named at all, in a fixed order
 * @param duskUnixMs before dusk, "up" means up at dusk or soon after
 */
export function wisher(
  truth: Truth["wishes"],
  observatory: Observatory,
  targets: readonly Target[],
  duskUnixMs: UtcMillis,
  random: Random,
): Wisher {
  const nights = targetNights(duskUnixMs, observatory);
  const bright = targets.filter((target) => brightEnough(target, truth.faintestMagnitude));
  const isUp = (target: Target, unixMs: UtcMillis): boolean =>
    nights(target).windows.some(
      (window) => window.openUnixMs <= unixMs && window.closeUnixMs > unixMs + HOUR / 2,
    );
  const seen = drawFavourites(
    bright,
    truth.favourites,
    (target) => nights(target).windows.length > 0,
    random,
  );
  const favourites = seen.map((target, rank) => ({ target, weight: 1 / (rank + 1) }));
  const filters = observatory.camera.filters.map((filter) => filter.name);

  const anyTarget = (from: Random): Target => {
    const favourite = from.uniform() < truth.favouriteShare && favourites.length > 0;
    return favourite ? pickByWeight(favourites, from).target : pick(bright, from);
  };
  const targetFor = (askedUnixMs: UtcMillis, from: Random): Target => {
    const wantsUp = from.uniform() < truth.upShare;
    let target = anyTarget(from);
    const when = Math.max(askedUnixMs, duskUnixMs + HOUR / 2);
    for (let trial = 0; wantsUp && trial < TRIES && !isUp(target, when); trial++) target = anyTarget(from);
    return target;
  };

  return (askedUnixMs, from) => ({
    target: targetFor(askedUnixMs, from),
    filter: pick(filters, from),
    exposureSeconds: pick(truth.exposureSeconds, from),
    frames: pick(truth.frames, from),
    notBeforeUnixMs:
      from.uniform() < truth.notBeforeShare ? Math.round(askedUnixMs + from.uniform() * 4 * HOUR) : null,
    note: null,
  });
}

function brightEnough(target: Target, faintest: number): boolean {
  return target.kind === "body" || (target.kind === "fixed" && (target.magnitude ?? 99) <= faintest);
}

function drawFavourites(
  bright: readonly Target[],
  count: number,
  suits: (target: Target) => boolean,
  random: Random,
): readonly Target[] {
  const drawn = new Set<Target>();
  for (let trial = 0; trial < 20 * count && drawn.size < count; trial++) {
    const target = pick(bright, random);
    if (suits(target)) drawn.add(target);
  }
  return [...drawn];
}
