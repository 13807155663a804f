/** What the measured times teach: by how much each part runs slower than configured, and how evenly. */
import { median } from "d3-array";
import { MINUTE, type Millis } from "../../base/units.js";
import {
  COMPONENTS,
  type Component,
  type MeasuredTime,
  type OverheadBelief,
  type OverheadBeliefs,
} from "./beliefs.js";
import { biweightMean, typicalDistance, typicalStep } from "./robust.js";

/** The newest samples looked at first; whatever is new shows in the median of so many after three. */
const SHORTEST = 5;
/** Each wider look-back is half as long again. */
const WIDER = 1.5;
/** A wider look-back is believed while it agrees with all narrower ones within so many standard errors. */
const AGREEMENT = 1.5;
/** Standard error of a median over that of a mean, for normal scatter. */
const MEDIAN_ERROR = 1.25;
/** Of fewer samples than the shortest look-back, the prior counts as this many … */
const PRIOR_SAMPLES = 2;
/** … and always as this many of the scatter. */
const PRIOR_SCATTER_SAMPLES = 6;
/** Whole milliseconds and short moves leave this much roughness (logarithm). */
const LEAST_SCATTER = 0.003;
/** From one night to the next the machines change a little, however often they were measured. */
const DRIFT = 0.05;
/** Moves shorter than this say more about the clock than about the machine. */
const SHORTEST_MOVE: Millis = 100;
/** Beyond so many scatters, and at least by this factor, a time is out of the ordinary. */
const STUCK_SCATTERS = 4;
const STUCK_FACTOR = 1.6;
/** Moves before and after one that say what was usual then. */
const NEIGHBOURS = 8;
/** The believed chance of sticking counts as so many actions seen. */
const PRIOR_ACTIONS = 100;
const LONGEST_STUCK: Millis = 30 * MINUTE;

/** A sample as the logarithm of measured over configured. */
interface Ratio {
  readonly log: number;
  readonly sample: MeasuredTime;
}

/**
 * Learns from measured times, oldest first. Parts that no sample names follow the samples of component
 * "total" (all overheads of an action together), where there are any.
 *
 * The look-back is as long as the recent past agrees with itself (Lepski's method: O. Lepski 1991, Theory of
 * Probability and its Applications 35, 454), so that a dome that slows in mid-night is followed after three
 * moves; within it, Tukey's biweight (Mosteller & Tukey 1977, Data Analysis and Regression) keeps an absurd
 * value from counting. A single absurd value changes nothing; from the second on they count as sticking.
 */
export function learnOverheads(samples: readonly MeasuredTime[], prior: OverheadBeliefs): OverheadBeliefs {
  const byComponent = new Map<MeasuredTime["component"], Ratio[]>();
  for (const sample of samples) {
    const { configuredMs, measuredMs } = sample;
    if (!(configuredMs >= SHORTEST_MOVE && measuredMs > 0)) continue;
    if (!Number.isFinite(measuredMs) || !Number.isFinite(configuredMs)) continue;
    const ratios = byComponent.get(sample.component) ?? [];
    ratios.push({ log: Math.log(measuredMs / configuredMs), sample });
    byComponent.set(sample.component, ratios);
  }
  const total = byComponent.get("total") ?? [];
  const learned = COMPONENTS.map((name): [Component, OverheadBelief, readonly Ratio[]] => {
    const own = byComponent.get(name) ?? total;
    return [name, learnComponent(own, prior.components[name]), own];
  });
  const components = Object.fromEntries(learned.map(([name, belief]) => [name, belief]));
  return {
    components: components as Record<Component, OverheadBelief>,
    stuck: learnSticking(learned, prior),
  };
}

function learnComponent(ratios: readonly Ratio[], prior: OverheadBelief): OverheadBelief {
  if (ratios.length === 0) return prior;
  const logs = ratios.map(({ log }) => log);
  const measured = Math.min(typicalStep(logs), typicalDistance(logs.slice(-SHORTEST)));
  const scatter = Math.max(LEAST_SCATTER, blend(measured, logs.length - 1, prior.logSd));
  const { mean, width } = recentMean(logs, scatter, prior.logMean);
  const recent = logs.slice(-width);
  const logSd = scatterAbout(mean, recent, scatter, prior.logSd);
  const error = Math.hypot((1.1 * logSd) / Math.sqrt(recent.length), prior.logMeanSd === 0 ? 0 : DRIFT);
  const logMeanSd = prior.logMeanSd === 0 ? 0 : 1 / Math.hypot(1 / error, 1 / prior.logMeanSd);
  return { logMean: mean, logSd, logMeanSd, measurements: width };
}

/** The mean over the longest look-back that agrees with every shorter one. Of few samples, the median with the prior. */
function recentMean(
  logs: readonly number[],
  scatter: number,
  priorMean: number,
): { mean: number; width: number } {
  if (logs.length < SHORTEST) {
    const all = [...new Array<number>(PRIOR_SAMPLES).fill(priorMean), ...logs];
    return { mean: median(all.slice(-SHORTEST)) as number, width: logs.length };
  }
  let width = SHORTEST;
  let mean = median(logs.slice(-width)) as number;
  const checks = [{ mean, error: (MEDIAN_ERROR * scatter) / Math.sqrt(width) }];
  while (width < logs.length) {
    const wider = Math.min(logs.length, Math.ceil(width * WIDER));
    const candidate = biweightMean(logs.slice(-wider), scatter);
    if (checks.some((check) => Math.abs(check.mean - candidate) > AGREEMENT * check.error)) break;
    checks.push({ mean: candidate, error: scatter / Math.sqrt(wider) });
    mean = candidate;
    width = wider;
  }
  return { mean, width };
}

/** Ordinary scatter only: what is out of the ordinary counts as three scatters. */
function scatterAbout(mean: number, recent: readonly number[], scatter: number, priorSd: number): number {
  const most = 3 * scatter;
  const squares = recent.reduce((sum, log) => sum + Math.min(Math.abs(log - mean), most) ** 2, 0);
  const weight = PRIOR_SCATTER_SAMPLES + recent.length;
  return Math.sqrt((PRIOR_SCATTER_SAMPLES * priorSd ** 2 + squares) / weight);
}

function blend(measuredSd: number, count: number, priorSd: number): number {
  if (count <= 0) return priorSd;
  const weight = PRIOR_SCATTER_SAMPLES / (PRIOR_SCATTER_SAMPLES + count);
  return Math.sqrt(weight * priorSd ** 2 + (1 - weight) * measuredSd ** 2);
}

function learnSticking(
  learned: readonly (readonly [Component, OverheadBelief, readonly Ratio[]])[],
  prior: OverheadBeliefs,
): OverheadBeliefs["stuck"] {
  const { chancePerAction, meanExtraMs } = prior.stuck;
  const actions = Math.max(0, ...learned.map(([, , ratios]) => ratios.length));
  const extras = learned.flatMap(([, { logSd }, ratios]) => extrasOf(ratios, logSd));
  const seen = Math.max(0, extras.length - 1);
  if (seen === 0) return prior.stuck;
  const typical = Math.min(LONGEST_STUCK, (median(extras) as number) / Math.LN2);
  return {
    chancePerAction: (chancePerAction * PRIOR_ACTIONS + seen) / (PRIOR_ACTIONS + actions),
    meanExtraMs: (meanExtraMs + typical * seen) / (1 + seen),
  };
}

/**
 * What stuck moves took too long by. Each is judged by the moves about it: what was usual before a repair, or has
 * become so, is not out of the ordinary.
 */
function extrasOf(ratios: readonly Ratio[], logSd: number): Millis[] {
  const limit = Math.max(STUCK_SCATTERS * logSd, Math.log(STUCK_FACTOR));
  return ratios.flatMap(({ log, sample }, index) => {
    const before = median(
      ratios.slice(Math.max(0, index - NEIGHBOURS), index + 1),
      (each) => each.log,
    ) as number;
    const after = median(ratios.slice(index, index + 1 + NEIGHBOURS), (each) => each.log) as number;
    const usual = Math.max(before, after);
    return log - usual < limit ? [] : [sample.measuredMs - sample.configuredMs * Math.exp(usual)];
  });
}
