/**
 * How many requests are still to come, and what for: past nights tell how a night like this one goes on.
 *
 * Each past night is told twice, once counted from its dusk and once by the clock, and weighs as much as it is recent
 * and as the count it had reached by now is like tonight's. Our own method, a kind of analogue forecast (E. N. Lorenz
 * 1969, Journal of the Atmospheric Sciences 26, 636). Until nights have been seen, invented ones stand in for them.
 */
import { median } from "d3-array";
import { DAY, MINUTE, type Millis, type UtcMillis } from "../../base/units.js";
import type { Request } from "../../queue/request.js";
import { type ArrivalBelief, type ArrivalGroup, type ArrivalStory, shapeOf } from "./beliefs.js";
import type { Experience } from "./experience.js";
import { inventedNights } from "./invented-nights.js";
import { type AskedNight, askedNights, duskOf } from "./past-nights.js";
import { typicalDistance } from "./robust.js";

/** Nights looked back on, and how much less each counts than the next. */
const MOST_NIGHTS = 60;
const FADES = 0.96;
/** All invented nights together count as so many seen. */
const INVENTED_WEIGHT = 1.5;
/** Of two nights alike, the counts at one hour scatter like this many times a Poisson count. */
const COUNT_SPREAD = 4;
/** Beside the likeliest, a story less likely than this is left out. */
const LEAST_WEIGHT = 1e-3;
/** Invented nights that tell how a group may go on. */
const INVENTED_GROUPS = 4;
/** Requests that come so close together are one group. */
const TOGETHER: Millis = 2 * MINUTE;
/** A group of many moves by up to this; a single request by less. */
const GROUP_SD: Millis = 25 * MINUTE;
/** What came so shortly before now in a past night may come after now in this one. */
const JUST_BEFORE: Millis = 50 * MINUTE;
const NIGHT_SD: Millis = 4 * MINUTE;
const SCALE_SD = 0.15;
/** How far tonight's count so far says how many are to come: (seen + a) / (then + a) to this power. */
const SCALE_COUNT = 8;
const SCALE_POWER = 0.7;
/** The habit of asking from dusk, or by the clock, is unknown to this much before it is seen. */
const HABIT_SD: Millis = 30 * MINUTE;
/** What was asked on earlier nights counts less than tonight's, and less with each day. */
const EARLIER_WEIGHT = 0.3;
const EARLIER_FADES = 0.95;
/** Together, the stand-ins for targets nobody asked for count as so many requests. */
const UNSEEN_WEIGHT = 3;
const MOST_TARGETS = 40;
const MOST_SHAPES = 64;

/** What may still be asked for tonight, its targets and its looks. */
export function learnArrivals(
  prior: ArrivalBelief,
  configuredPerHour: number,
  experience: Experience,
): ArrivalBelief {
  const { nowUnixMs, night, observatory, requests } = experience;
  const asked = [...requests].filter(({ askedUnixMs }) => askedUnixMs <= nowUnixMs);
  const nights = askedNights(asked, night, observatory, MOST_NIGHTS);
  const tonight = nights.at(-1)?.startUnixMs === night.startUnixMs ? (nights.at(-1) as AskedNight) : null;
  const shapes = asked.slice(-MOST_SHAPES).map(shapeOf);
  return {
    stories: storiesOf(
      tonight === null ? nights : nights.slice(0, -1),
      tonight?.askedUnixMs ?? [],
      configuredPerHour,
      experience,
    ),
    nightSdMs: NIGHT_SD,
    scaleSd: SCALE_SD,
    targetMix: mixOf(prior, asked, night.startUnixMs),
    requestShapes: shapes.length > 0 ? shapes : prior.requestShapes,
  };
}

/**
 * How a group that is under way may go on: as groups of past nights did that had come so far. Each entry is one of
 * them, as what is still to come of it; empty where no group is under way or nothing is known.
 * @param asked tonight's requests until now
 */
export function groupsGoOn(
  { askedUnixMs }: Pick<AskedNight, "askedUnixMs">,
  nowUnixMs: UtcMillis,
  past: readonly Pick<AskedNight, "askedUnixMs" | "tiers">[],
): readonly ArrivalGroup[] {
  let size = 0;
  for (let last = nowUnixMs; size < askedUnixMs.length; size++) {
    const unixMs = askedUnixMs[askedUnixMs.length - 1 - size]!;
    if (last - unixMs >= TOGETHER) break;
    last = unixMs;
  }
  if (size === 0) return [];
  const sinceMs = nowUnixMs - (askedUnixMs.at(-1) as UtcMillis);
  return past.flatMap(({ askedUnixMs: asked, tiers }) =>
    groupsIn(asked).flatMap(([from, until]) => {
      const reached = asked[from + size - 1];
      if (from + size > until || reached === undefined) return [];
      const next = from + size < until ? asked[from + size]! - reached : Number.POSITIVE_INFINITY;
      if (next < sinceMs) return [];
      const rest = asked.slice(from + size, until);
      const aheadMs = rest.map((unixMs) => unixMs - reached - sinceMs);
      return [{ aheadMs, tiers: tiers.slice(from + size, until), sdMs: 0 }];
    }),
  );
}

/** First place of each group and the one after its last. */
function groupsIn(askedUnixMs: readonly UtcMillis[]): [number, number][] {
  const groups: [number, number][] = [];
  for (let each = 0; each < askedUnixMs.length; each++) {
    const last = groups.at(-1);
    if (last && askedUnixMs[each]! - askedUnixMs[each - 1]! < TOGETHER) last[1] = each + 1;
    else groups.push([each, each + 1]);
  }
  return groups;
}

/** A night's requests from an instant that corresponds to now, by whichever clock. */
type Told = Pick<AskedNight, "askedUnixMs" | "tiers"> & { readonly asOfUnixMs: UtcMillis };

function storiesOf(
  past: readonly AskedNight[],
  tonight: readonly UtcMillis[],
  perHour: number,
  { nowUnixMs, night, observatory }: Experience,
): ArrivalStory[] {
  const duskUnixMs = duskOf(night, observatory);
  const fromDuskMs = nowUnixMs - duskUnixMs;
  const fromNoonMs = nowUnixMs - night.startUnixMs;
  const byDusk = shareByDusk(past);
  const told: (Told & { readonly logWeight: number })[] = [];
  for (const [index, each] of past.entries()) {
    const recent = (past.length - 1 - index) * Math.log(FADES);
    told.push({ ...each, asOfUnixMs: each.duskUnixMs + fromDuskMs, logWeight: recent + Math.log(byDusk) });
    told.push({
      ...each,
      asOfUnixMs: each.startUnixMs + fromNoonMs,
      logWeight: recent + Math.log(1 - byDusk),
    });
  }
  const invented = inventedNights(perHour, duskUnixMs, night.endUnixMs);
  const logWeight = Math.log(INVENTED_WEIGHT / Math.max(1, invented.length));
  for (const each of invented) told.push({ ...each, asOfUnixMs: nowUnixMs, logWeight });
  const seen = tonight.length;
  const goOn = groupsGoOn({ askedUnixMs: tonight }, nowUnixMs, [
    ...invented.slice(0, INVENTED_GROUPS),
    ...past,
  ]);
  const counts = told.map(countThen);
  const logWeights = told.map((each, index) => each.logWeight + logLikeness(seen, counts[index]!));
  const most = Math.max(...logWeights);
  return told.flatMap((each, index) => {
    const weight = Math.exp(logWeights[index]! - most);
    if (weight < LEAST_WEIGHT) return [];
    const scale = ((seen + SCALE_COUNT) / (counts[index]! + SCALE_COUNT)) ** SCALE_POWER;
    return [{ weight, scale, groups: [...groupsAhead(each), ...oneOf(goOn, index)] }];
  });
}

/** Another one for each story. */
function oneOf(groups: readonly ArrivalGroup[], index: number): readonly ArrivalGroup[] {
  const picked = groups[(index * 7_919) % Math.max(1, groups.length)];
  return picked ? [picked] : [];
}

function countThen({ askedUnixMs, asOfUnixMs }: Told): number {
  let count = 0;
  while (count < askedUnixMs.length && askedUnixMs[count]! <= asOfUnixMs) count++;
  return count;
}

function logLikeness(seen: number, then: number): number {
  const variance = COUNT_SPREAD * (then + 1);
  return -((seen - then) ** 2) / (2 * variance) - 0.5 * Math.log(variance);
}

function groupsAhead({ askedUnixMs, tiers, asOfUnixMs }: Told): ArrivalGroup[] {
  const from = asOfUnixMs - JUST_BEFORE;
  return groupsIn(askedUnixMs).flatMap(([first, end]) => {
    if (askedUnixMs[end - 1]! < from) return [];
    return [
      {
        aheadMs: askedUnixMs.slice(first, end).map((unixMs) => unixMs - asOfUnixMs),
        tiers: tiers.slice(first, end),
        sdMs: GROUP_SD * Math.min(1, 0.3 + 0.35 * (end - first - 1)),
      },
    ];
  });
}

/** How far a class seems to keep to dusk rather than to the clock: by which of them its nights are more alike. */
function shareByDusk(past: readonly AskedNight[]): number {
  const middles = past.slice(-20).map((each) => ({ each, middle: median(each.askedUnixMs) as UtcMillis }));
  const variance = (from: (of: AskedNight) => UtcMillis): number =>
    HABIT_SD ** 2 +
    (middles.length < 2
      ? 0
      : middles.length * typicalDistance(middles.map((m) => m.middle - from(m.each))) ** 2);
  const clock = variance(({ startUnixMs }) => startUnixMs);
  const dusk = variance(({ duskUnixMs }) => duskUnixMs);
  return clock / (clock + dusk);
}

function mixOf(
  prior: ArrivalBelief,
  asked: readonly Request[],
  nightStartUnixMs: UtcMillis,
): ArrivalBelief["targetMix"] {
  const weights = new Map<string, { target: Request["target"]; weight: number }>();
  for (const { target, askedUnixMs } of asked) {
    const days = Math.floor((nightStartUnixMs - askedUnixMs) / DAY) + 1;
    const weight = days <= 0 ? 1 : EARLIER_WEIGHT * EARLIER_FADES ** days;
    const known = weights.get(target.id);
    if (known) known.weight += weight;
    else weights.set(target.id, { target, weight });
  }
  const priorTotal = prior.targetMix.reduce((sum, { weight }) => sum + weight, 0);
  const unseen = prior.targetMix.map(({ target, weight }) => ({
    target,
    weight: (weight * UNSEEN_WEIGHT) / Math.max(1e-9, priorTotal),
  }));
  const liked = [...weights.values()].sort((a, b) => b.weight - a.weight).slice(0, MOST_TARGETS);
  return [...liked, ...unseen];
}
