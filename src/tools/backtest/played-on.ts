/**
 * The truth itself played on from the middle of a night: the same class, sky and machines with other luck. What is left
 * of a range then is what nobody can know.
 */
import { quantileSorted } from "d3-array";
import type { Random } from "../../base/random.js";
import { HOUR, MINUTE, type UtcMillis } from "../../base/units.js";
import { type Request, waitingRequest } from "../../queue/request.js";
import { classOf } from "./oracle.js";
import { playOnUntil, type UnderWay } from "./play.js";
import type { Range } from "./question.js";
import type { ActionDone } from "./telescope.js";
import { type CloudSpell, cloudOf } from "./truth/cloud.js";
import { pick, pickByWeight, streamFor } from "./truth/draws.js";
import { luckOf, type TruthNight } from "./truth/night.js";

/** So often: each takes as long as a night does. */
const TIMES = 30;
/** Drawn again until it fits what is known so far. */
const TRIES = 50;

/** The central 80 % of the starts; null under a hold, and where it does not start in most of them. */
export async function playedOnRange(
  truth: TruthNight,
  underWay: UnderWay,
  number: number,
): Promise<Range | null> {
  if (underWay.night.holdUntilUnixMs !== null) return null;
  const starts: UtcMillis[] = [];
  for (let time = 1; time <= TIMES; time++) {
    const seed = Math.floor(streamFor(number, underWay.night.nowUnixMs / MINUTE, time).uniform() * 2 ** 32);
    const other = withOtherLuck(truth, underWay, number, seed);
    const start = await playOnUntil(number, { ...underWay, current: currentOf(other, underWay) }, other);
    if (start !== null) starts.push(start);
  }
  if (starts.length < TIMES / 2) return null;
  starts.sort((a, b) => a - b);
  const at = (share: number): UtcMillis => quantileSorted(starts, share) as UtcMillis;
  return { lowUnixMs: at(0.1), medianUnixMs: at(0.5), highUnixMs: at(0.9) };
}

function withOtherLuck(truth: TruthNight, { night }: UnderWay, number: number, seed: number): TruthNight {
  const { laws, hours } = truth;
  const { nowUnixMs } = night;
  const luck = luckOf(laws.truth, laws.machines, hours, seed);
  return {
    ...truth,
    ...luck,
    requests: requestsToCome(
      truth,
      Math.max(number, ...night.waiting.map((each) => each.number)),
      nowUnixMs,
      streamFor(seed, 31),
    ),
    cloud: cloudFrom(truth, nowUnixMs, seed),
    // Nobody knows how long the others will wait on; the one that is asked about does.
    withdrawnUnixMs: (request) =>
      request.number === number
        ? Number.POSITIVE_INFINITY
        : luck.withdrawnUnixMs({ ...request, askedUnixMs: Math.max(nowUnixMs, request.askedUnixMs) }),
  };
}

/** As the law has them, and as many as tonight has shown; for what the class wishes tonight. */
function requestsToCome(truth: TruthNight, highest: number, nowUnixMs: UtcMillis, random: Random): Request[] {
  const { stories, requestShapes } = classOf(truth, nowUnixMs, highest);
  const arrivals = pickByWeight(stories, random).groups.flatMap(({ aheadMs, tiers }) =>
    aheadMs.flatMap((ms, index) => (ms > 0 ? [{ unixMs: nowUnixMs + ms, tier: tiers[index] ?? 1 }] : [])),
  );
  return arrivals.map(({ unixMs, tier }, index) => {
    const askedUnixMs = Math.ceil(unixMs);
    const { owner } = pick(requestShapes, random);
    const wish = truth.laws.wish(askedUnixMs, random);
    return waitingRequest({ ...wish, number: highest + 1 + index, owner, tier, askedUnixMs });
  });
}

/** Open now, and cloudy by turns afterwards. */
function cloudFrom({ laws, hours }: TruthNight, nowUnixMs: UtcMillis, seed: number): readonly CloudSpell[] {
  const observing = { fromUnixMs: nowUnixMs, untilUnixMs: hours.dawnUnixMs + HOUR };
  for (let trial = 0; trial < TRIES; trial++) {
    const cloud = cloudOf(laws.truth.cloud, laws.kind, observing, seed + trial);
    if ((cloud[0]?.fromUnixMs ?? Number.POSITIVE_INFINITY) > nowUnixMs) return cloud;
  }
  return [];
}

/** The action under way, as it may turn out for those who know how long it has taken. */
function currentOf(other: TruthNight, { night, current }: UnderWay): ActionDone | null {
  if (current === null) return null;
  const { configured, readOutMs, request, takenUnixMs } = current;
  for (let attempt = 1; attempt <= TRIES; attempt++) {
    const { times } = other.times(configured, {
      number: request.number,
      attempt,
      atUnixMs: takenUnixMs,
      readOutMs,
    });
    const freeUnixMs = takenUnixMs + times.totalMs;
    const fate = other.fate(request.number, attempt);
    if (freeUnixMs > night.nowUnixMs) return { ...current, freeUnixMs, fate, lost: false };
  }
  return { ...current, freeUnixMs: night.nowUnixMs + MINUTE, lost: false };
}
