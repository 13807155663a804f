/** Cloud that comes in clusters: nights of different kinds, each with spells of its own. */
import type { Random } from "../../../base/random.js";
import { DAY, MINUTE, type UtcMillis } from "../../../base/units.js";
import { logNormal, pickByWeight, streamFor } from "./draws.js";
import type { Truth } from "./parameters.js";

type Cloud = Truth["cloud"];
type Kind = Cloud["kinds"][number];

/** A cloudy spell, and how staff answered it. */
export interface CloudSpell {
  readonly fromUnixMs: UtcMillis;
  readonly untilUnixMs: UtcMillis;
  /** null when the spell was over before staff saw it. */
  readonly hold: CloudHold | null;
}

/** Staff hold the queue between these. */
export interface CloudHold {
  readonly fromUnixMs: UtcMillis;
  readonly untilUnixMs: UtcMillis;
  /** When they said at its beginning that it was to end; null: they did not say. */
  readonly saidUnixMs: UtcMillis | null;
}

/** The kinds of successive nights: the same again with the chance `persistence`, otherwise drawn by weight. */
export function kindsOfNights(cloud: Cloud, nights: number, seed: number): readonly Kind[] {
  const random = streamFor(seed, 3);
  const kinds: Kind[] = [];
  for (let night = 0; night < nights; night++) {
    const before = kinds.at(-1);
    const again = random.uniform() < cloud.persistence;
    const drawn = before && again ? before : pickByWeight(cloud.kinds, random);
    kinds.push(cloud.inTurn ? (cloud.kinds[night % cloud.kinds.length] as Kind) : drawn);
  }
  return kinds;
}

/** One night's cloudy spells, in order and apart from one another. */
export function cloudOf(
  cloud: Cloud,
  kind: Kind,
  { fromUnixMs, untilUnixMs }: { readonly fromUnixMs: UtcMillis; readonly untilUnixMs: UtcMillis },
  seed: number,
): readonly CloudSpell[] {
  const random = streamFor(seed, 4);
  const length = ({ medianMinutes, spread }: Kind["open"]): number =>
    Math.max(1_000, Math.round(logNormal(medianMinutes, spread, random) * MINUTE));
  const spells: CloudSpell[] = [];
  const openShare = kind.open.medianMinutes / (kind.open.medianMinutes + kind.closed.medianMinutes);
  let unixMs = fromUnixMs + (random.uniform() < openShare ? length(kind.open) * random.uniform() : 0);
  while (unixMs < untilUnixMs) {
    const clears = Math.round(unixMs + length(kind.closed));
    spells.push(answered(Math.round(unixMs), clears, cloud, random));
    unixMs = clears + length(kind.open);
  }
  return apart(overFrom(forGoodUnixMs(kind, fromUnixMs, untilUnixMs, seed), untilUnixMs, spells));
}

/** When it clouds over to stay so; Infinity on most nights. */
function forGoodUnixMs({ forGoodShare }: Kind, from: UtcMillis, until: UtcMillis, seed: number): UtcMillis {
  const random = streamFor(seed, 12);
  const comes = random.uniform() < forGoodShare;
  const unixMs = Math.round(from + (until - from) * random.uniform());
  return comes ? unixMs : Number.POSITIVE_INFINITY;
}

/** Nothing clears after `goneUnixMs`: the hold stands until the night is over. */
function overFrom(goneUnixMs: UtcMillis, endUnixMs: UtcMillis, spells: readonly CloudSpell[]): CloudSpell[] {
  if (goneUnixMs === Number.POSITIVE_INFINITY) return [...spells];
  const untilUnixMs = endUnixMs + DAY;
  const hold = { fromUnixMs: goneUnixMs + 2 * MINUTE, untilUnixMs, saidUnixMs: null };
  const before = spells.filter(({ fromUnixMs }) => fromUnixMs < goneUnixMs);
  return [...before, { fromUnixMs: goneUnixMs, untilUnixMs, hold }];
}

function answered(fromUnixMs: UtcMillis, untilUnixMs: UtcMillis, cloud: Cloud, random: Random): CloudSpell {
  const held = Math.round(fromUnixMs + random.exponential(cloud.holdDelayMinutes * MINUTE));
  const resumed = Math.round(untilUnixMs + random.exponential(cloud.resumeDelayMinutes * MINUTE));
  const said = random.uniform() < cloud.endSaidShare ? held + cloud.endSaidMinutes * MINUTE : null;
  const hold = held < untilUnixMs ? { fromUnixMs: held, untilUnixMs: resumed, saidUnixMs: said } : null;
  return { fromUnixMs, untilUnixMs, hold };
}

/** Staff who have not yet resumed when cloud returns simply go on holding. */
function apart(spells: readonly CloudSpell[]): readonly CloudSpell[] {
  const kept: CloudSpell[] = [];
  for (const spell of spells) {
    const before = kept.at(-1);
    if (!before?.hold || before.hold.untilUnixMs < spell.fromUnixMs) {
      kept.push(spell);
      continue;
    }
    const untilUnixMs = Math.max(before.hold.untilUnixMs, spell.hold?.untilUnixMs ?? spell.untilUnixMs);
    const hold = { ...before.hold, untilUnixMs };
    kept[kept.length - 1] = { ...before, untilUnixMs: spell.untilUnixMs, hold };
  }
  return kept;
}
