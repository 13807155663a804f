/** How many requests are still to come, and what for: the class as it has asked so far. */
import { DAY, HOUR, type UtcMillis } from "../../base/units.js";
import type { Request } from "../../queue/request.js";
import { type ArrivalBelief, PRIOR_ARRIVALS, type RequestShape, shapeOf } from "./beliefs.js";
import type { Experience } from "./experience.js";

const HOURS = 24;
/**
 * When a class asks, before it has shown its habits: shares of the configured rate by hour from noon. Full in
 * the evening, half in the afternoon, little after midnight. Common practice, no source.
 */
const HABIT: readonly number[] = [
  0.4, 0.4, 0.4, 0.4, 0.5, 0.8, 1, 1, 1, 1, 1, 0.8, 0.5, 0.3, 0.15, 0.1, 0.1, 0.05, 0.05, 0.1, 0.1, 0.2, 0.3,
  0.3,
];
/** The configured rate counts as so many nights seen. */
const PRIOR_NIGHTS = 1;
/** How fast the memory of tonight's asking fades, and with it what a busy evening says of the hours to come. */
const FADES_IN = 2 * HOUR;
/** What was asked on earlier nights counts less than tonight's. */
const EARLIER_WEIGHT = 0.2;
/** Together, the stand-ins for targets nobody asked for count as so many requests. */
const UNSEEN_WEIGHT = 3;
const MOST_TARGETS = 40;
const MOST_SHAPES = 64;
/** However much was seen, bursts keep the rate uncertain. */
const SUREST_SHAPE = 25;

/** The rates, the target mix and the looks of requests to come. Our own method: gamma-Poisson by hour of the night. */
export function learnArrivals(prior: ArrivalBelief, experience: Experience): ArrivalBelief {
  const seen = lookBack(experience);
  const usual = HABIT.map((share, hour) => {
    const expected = share * prior.perHour * PRIOR_NIGHTS;
    return (expected + seen.earlierByHour[hour]!) / (PRIOR_NIGHTS + seen.earlierNights);
  });
  const perHourAhead = ratesAhead(usual, seen.tonight, experience);
  return {
    perHour: perHourAhead[0] ?? 0,
    perHourAhead,
    rateShape: Math.min(SUREST_SHAPE, PRIOR_ARRIVALS + seen.tonight.length),
    targetMix: mixOf(prior, seen.weights),
    requestShapes: seen.shapes.length > 0 ? seen.shapes : prior.requestShapes,
  };
}

type WeightedTarget = ArrivalBelief["targetMix"][number];

interface Seen {
  /** Requests of earlier nights by hour from noon, and on how many nights they were made. */
  readonly earlierByHour: readonly number[];
  readonly earlierNights: number;
  readonly tonight: readonly UtcMillis[];
  /** By target id. */
  readonly weights: ReadonlyMap<string, WeightedTarget>;
  /** The newest last. */
  readonly shapes: readonly RequestShape[];
}

function lookBack({ requests, night, nowUnixMs }: Experience): Seen {
  const earlierByHour = new Array<number>(HOURS).fill(0);
  const earlier = new Set<number>();
  const tonight: UtcMillis[] = [];
  const weights = new Map<string, WeightedTarget>();
  const newest: Request[] = [];
  for (const request of requests) {
    const { askedUnixMs, target } = request;
    if (askedUnixMs > nowUnixMs) continue;
    const days = Math.floor((askedUnixMs - night.startUnixMs) / DAY);
    if (days < 0) {
      earlier.add(days);
      earlierByHour[Math.floor((askedUnixMs - night.startUnixMs - days * DAY) / HOUR) % HOURS]!++;
    } else tonight.push(askedUnixMs);
    const weight = (weights.get(target.id)?.weight ?? 0) + (days < 0 ? EARLIER_WEIGHT : 1);
    weights.set(target.id, { target, weight });
    newest.push(request);
    if (newest.length > 2 * MOST_SHAPES) newest.splice(0, MOST_SHAPES);
  }
  return {
    earlierByHour,
    earlierNights: earlier.size,
    tonight,
    weights,
    shapes: newest.slice(-MOST_SHAPES).map(shapeOf),
  };
}

/** The usual rates times tonight's eagerness, which fades into the usual. */
function ratesAhead(
  usual: readonly number[],
  tonight: readonly UtcMillis[],
  { night, nowUnixMs }: Experience,
): number[] {
  const fading = (ageMs: number): number => Math.exp(-ageMs / FADES_IN);
  const hourNow = Math.floor((nowUnixMs - night.startUnixMs) / HOUR);
  let expected = 0;
  for (let hour = 0; hour <= hourNow; hour++) {
    const from = night.startUnixMs + hour * HOUR;
    const share = Math.min(1, (nowUnixMs - from) / HOUR);
    expected += (usual[hour % HOURS] ?? 0) * share * fading(Math.max(0, nowUnixMs - from - HOUR / 2));
  }
  const came = tonight.reduce((sum, askedUnixMs) => sum + fading(nowUnixMs - askedUnixMs), 0);
  const eagerness = (PRIOR_ARRIVALS + came) / (PRIOR_ARRIVALS + expected);
  const hours = Math.max(1, Math.ceil((night.endUnixMs - nowUnixMs) / HOUR));
  return Array.from({ length: hours }, (_, ahead) => {
    const within = (hourNow + ahead) % HOURS;
    return (usual[within] ?? 0) * (1 + (eagerness - 1) * fading(ahead * HOUR));
  });
}

function mixOf(prior: ArrivalBelief, weights: Seen["weights"]): ArrivalBelief["targetMix"] {
  const priorTotal = prior.targetMix.reduce((sum, { weight }) => sum + weight, 0);
  const unseen = prior.targetMix.map(({ target, weight }) => ({
    target,
    weight: (weight * UNSEEN_WEIGHT) / Math.max(1e-9, priorTotal),
  }));
  const asked = [...weights.values()].sort((a, b) => b.weight - a.weight).slice(0, MOST_TARGETS);
  return [...asked, ...unseen];
}
