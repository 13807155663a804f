/**
 * The oracle: the shipped engine fed with the truth's own laws, tonight's kind of sky, machine factors and favourites.
 * It does not know the night's luck, nor how keen the class is tonight: how near the class's forecast comes to it says
 * how near it is to what can be known. No part of the forecast may import it.
 */
import { group } from "d3-array";
import { HOUR, MINUTE, type Millis, SECOND, type UtcMillis } from "../../base/units.js";
import type { Config } from "../../config/config.js";
import {
  type ArrivalBelief,
  type ArrivalStory,
  type Beliefs,
  COMPONENTS,
  type Component,
  type InterruptionBelief,
  type OverheadBeliefs,
} from "../../forecast/learn/beliefs.js";
import { groupsGoOn } from "../../forecast/learn/learn-arrivals.js";
import type { NightInput } from "../../forecast/night-run.js";
import { spreadOf } from "../../forecast/spread.js";
import type { Range } from "./question.js";
import { arrivalsOf } from "./truth/arrivals.js";
import { streamFor } from "./truth/draws.js";
import type { TruthNight } from "./truth/night.js";

/** Nights drawn from the law of arrivals, and wishes from the class's own. */
const NIGHTS = 150;
const WISHES = 200;
/** A usual action: only for how often one is disturbed. */
const USUAL_ACTION: Millis = 5 * MINUTE;

/** What the oracle says of a request's start; null when it does not run in any of its runs. */
export function asOracle(
  night: TruthNight,
  input: NightInput,
  number: number,
  { forecast }: Config,
): Range | null {
  const range = spreadOf(input, oracleBeliefs(night, input), forecast).ranges.get(number);
  if (!range || range.medianUnixMs === null || range.lowUnixMs === null || range.highUnixMs === null)
    return null;
  const { lowUnixMs, medianUnixMs, highUnixMs } = range;
  return { lowUnixMs, medianUnixMs, highUnixMs };
}

function oracleBeliefs(night: TruthNight, { nowUnixMs, waiting }: NightInput): Beliefs {
  const { truth } = night.laws;
  const { failures, cloud, arrivals } = truth;
  const interruptions = skyOf(night, nowUnixMs);
  const disturbed = USUAL_ACTION / closingMs(night);
  return {
    configuredPerHour: 0,
    overheads: machinesOf(night, nowUnixMs),
    interruptions,
    arrivals: classOf(night, nowUnixMs, waiting.at(-1)?.number ?? 0),
    failureFraction: failures.share * failures.againShare + cloud.lostShare * disturbed,
    withdrawalsPerHour: arrivals.withdrawnPerHour,
  };
}

function machinesOf({ laws, hours }: TruthNight, nowUnixMs: UtcMillis): OverheadBeliefs {
  const { machines: truth } = laws.truth;
  const { factors, slows } = laws.machines;
  const late = nowUnixMs > (hours.duskUnixMs + hours.dawnUnixMs) / 2;
  const component = (part: Component) => {
    const slowing = part === "dome" && slows && late ? truth.slowingFactor : 1;
    return {
      logMean: Math.log(factors[part] * slowing),
      logSd: truth[part].actionSpread,
      logMeanSd: 0,
      measurements: 0,
    };
  };
  const components = Object.fromEntries(COMPONENTS.map((part) => [part, component(part)]));
  return {
    components: components as OverheadBeliefs["components"],
    stuck: { chancePerAction: truth.stuckShare, meanExtraMs: meanStuckMs(truth) },
  };
}

/** Mean of a Pareto time that is cut off: the integral of its survival function. */
function meanStuckMs({
  stuckSeconds,
  stuckTail,
  longestStuckMinutes,
}: TruthNight["laws"]["truth"]["machines"]): Millis {
  const least = stuckSeconds * SECOND;
  const most = longestStuckMinutes * MINUTE;
  if (least === 0 || most <= least) return least;
  const tail =
    stuckTail === 1
      ? least * Math.log(most / least)
      : (least / (stuckTail - 1)) * (1 - (most / least) ** (1 - stuckTail));
  return least + tail;
}

/** Mean of a log-normal length. */
const meanMs = ({ medianMinutes, spread }: { medianMinutes: number; spread: number }): Millis =>
  medianMinutes * Math.exp(spread ** 2 / 2) * MINUTE;

function closingMs({ laws }: TruthNight): Millis {
  return meanMs(laws.kind.open) + meanMs(laws.kind.closed);
}

/** Cloud and repairs together: as often as either, as long as both in the mean. */
function skyOf({ laws, hours }: TruthNight, nowUnixMs: UtcMillis): InterruptionBelief {
  const { kind, truth } = laws;
  const { cloud, failures } = truth;
  const clouds = 1 / meanMs(kind.open);
  const repairs = failures.share / USUAL_ACTION;
  const closed = meanMs(kind.closed) + (cloud.resumeDelayMinutes - cloud.holdDelayMinutes) * MINUTE;
  const repair = meanMs({ medianMinutes: failures.repairMedianMinutes, spread: failures.repairSpread });
  const forGood =
    kind.forGoodShare / Math.max(HOUR, hours.dawnUnixMs - Math.min(nowUnixMs, hours.duskUnixMs));
  const rate = clouds + repairs + forGood;
  return {
    openMeanMs: 1 / rate,
    openShape: Number.POSITIVE_INFINITY,
    closedMeanMs: (clouds * closed + repairs * repair) / Math.max(1e-15, clouds + repairs),
    closedShape: Number.POSITIVE_INFINITY,
    openNow: true,
    forGood: forGood / rate,
    standsForGood: 0,
  };
}

const stories = new WeakMap<TruthNight, readonly DrawnNight[]>();

/** A night from the law of arrivals: how keen its class is, and when it asks. */
interface DrawnNight {
  readonly keen: number;
  readonly askedUnixMs: readonly UtcMillis[];
  readonly tiers: readonly number[];
}

function drawnNights(night: TruthNight): readonly DrawnNight[] {
  const known = stories.get(night);
  if (known) return known;
  const { truth, students, demand, wish } = night.laws;
  const [any] = night.requests;
  const seed = night.night.startUnixMs / MINUTE;
  const random = streamFor(seed, 21);
  const still = { ...truth.arrivals, nightSpread: 0 };
  const like = (unixMs: UtcMillis) => any ?? wish(unixMs, random);
  const drawn = Array.from({ length: NIGHTS }, (_, index): DrawnNight => {
    const keen = Math.exp(truth.arrivals.nightSpread * random.normal());
    const asked = arrivalsOf(
      still,
      { students, demand: demand * keen },
      night.hours,
      like,
      1,
      seed + index + 1,
    );
    return { keen, askedUnixMs: asked.map((a) => a.askedUnixMs), tiers: asked.map((a) => a.tier) };
  });
  stories.set(night, drawn);
  return drawn;
}

/** Nights of the law, by how likely tonight's count so far is in each. */
export function classOf(night: TruthNight, nowUnixMs: UtcMillis, number: number): ArrivalBelief {
  const drawn = drawnNights(night);
  const seen = night.requests.filter(({ askedUnixMs }) => askedUnixMs <= nowUnixMs).length;
  const then = drawn.map(({ askedUnixMs }) => askedUnixMs.filter((unixMs) => unixMs <= nowUnixMs).length);
  const before = {
    askedUnixMs: night.requests.map((r) => r.askedUnixMs).filter((unixMs) => unixMs <= nowUnixMs),
  };
  const goOn = groupsGoOn(before, nowUnixMs, drawn);
  const usual = sumOf(then) / sumOf(drawn.map(({ keen }) => keen));
  const logs = drawn.map(({ keen }) => seen * Math.log(Math.max(1e-9, usual * keen)) - usual * keen);
  const most = Math.max(...logs);
  const random = streamFor(night.night.startUnixMs / MINUTE, number, 22);
  const untilMs = Math.max(HOUR, night.hours.dawnUnixMs - nowUnixMs);
  const wishes = Array.from({ length: WISHES }, () =>
    night.laws.wish(nowUnixMs + random.uniform() * untilMs, random),
  );
  const tiers = drawn.flatMap((each) => each.tiers);
  return {
    stories: drawn.map(
      ({ askedUnixMs, tiers: own }, index): ArrivalStory => ({
        weight: Math.exp(logs[index]! - most),
        scale: 1,
        groups: [
          { aheadMs: askedUnixMs.map((unixMs) => unixMs - nowUnixMs), tiers: own, sdMs: 0 },
          ...goOn.slice(...pick(index, goOn.length)),
        ],
      }),
    ),
    nightSdMs: 0,
    scaleSd: 0,
    targetMix: [...group(wishes, ({ target }) => target.id).values()].map((same) => ({
      target: same[0]!.target,
      weight: same.length,
    })),
    requestShapes: wishes.map(({ filter, exposureSeconds, frames }) => ({
      ...{ filter, exposureSeconds, frames, owner: "someone" },
      tier: tiers[Math.floor(random.uniform() * tiers.length)] ?? 1,
    })),
  };
}

/** Bounds of one place of many, another for each index. */
const pick = (index: number, many: number): [number, number] => {
  const place = (index * 7_919) % Math.max(1, many);
  return [place, place + 1];
};

function sumOf(values: readonly number[]): number {
  return values.reduce((sum, each) => sum + each, 0);
}
