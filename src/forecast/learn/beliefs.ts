/** What is believed about the hours to come: how machines, sky and class behave, and how sure that is. */
import { MINUTE, type Millis, type UtcMillis } from "../../base/units.js";
import {
  CONFIGURED_OVERHEADS,
  type Observatory,
  type OverheadFactors,
} from "../../observatory/observatory.js";
import type { Request } from "../../queue/request.js";
import type { Target } from "../../sky/target.js";
import { somewhere } from "../somewhere.js";

/** Parts of an action that run on a time of their own. */
export type Component = keyof OverheadFactors;
export const COMPONENTS = Object.keys(CONFIGURED_OVERHEADS) as readonly Component[];

/** How long a part took, beside what the configuration says of the same move. */
export interface MeasuredTime {
  /** `total`: all overheads of an action together, everything but the exposures. */
  readonly component: Component | "total";
  readonly configuredMs: Millis;
  readonly measuredMs: Millis;
}

/** One part's times as multiples of the configured ones; logarithms are natural. */
export interface OverheadBelief {
  /** Logarithm of the typical (median) multiple. */
  readonly logMean: number;
  /** Standard deviation of the logarithm from one action to the next. */
  readonly logSd: number;
  /** Standard deviation of what is not known about `logMean`. */
  readonly logMeanSd: number;
  /** The newest measurements that `logMean` rests on; 0: none, it is the configured one. */
  readonly measurements: number;
}

/** Delays far outside the scatter: a dome that sticks, a mount that has to be homed. */
export interface StuckBelief {
  readonly chancePerAction: number;
  /** Exponential. */
  readonly meanExtraMs: Millis;
}

export interface OverheadBeliefs {
  readonly components: Readonly<Record<Component, OverheadBelief>>;
  readonly stuck: StuckBelief;
}

/**
 * Cloud and other holds by turns: open and closed for exponential times, at rates that each night has for itself.
 * What is not known of tonight's rates is a gamma distribution.
 */
export interface InterruptionBelief {
  /** Reciprocal of the mean rate at which it closes. */
  readonly openMeanMs: Millis;
  /** Shape of that rate's distribution, at least 1; Infinity when it is certain. */
  readonly openShape: number;
  /** Reciprocal of the mean rate at which it opens again; 0: never closed. */
  readonly closedMeanMs: Millis;
  readonly closedShape: number;
  readonly openNow: boolean;
  /** Chance that it stays closed for the rest of the night: of a closing to come, and of the one that stands. */
  readonly forGood: number;
  readonly standsForGood: number;
}

/** What a later request may look like, apart from its target. */
export interface RequestShape {
  readonly filter: string;
  readonly exposureSeconds: number;
  readonly frames: number;
  readonly tier: number;
  readonly owner: string;
}

/** Requests made within a few minutes of one another, which come sooner or later together. */
export interface ArrivalGroup {
  /** From now, ascending; negative for what came before in that night. */
  readonly aheadMs: readonly Millis[];
  /** Of each. */
  readonly tiers: readonly number[];
  /** Standard deviation of what it may come sooner or later by. */
  readonly sdMs: Millis;
}

/** One way in which the class may go on asking. */
export interface ArrivalStory {
  /** How likely it is, beside the others. */
  readonly weight: number;
  /** So many times as many as the groups tell of. */
  readonly scale: number;
  readonly groups: readonly ArrivalGroup[];
}

export interface ArrivalBelief {
  /** Each run of the spread picks one; none: nobody asks any more. */
  readonly stories: readonly ArrivalStory[];
  /** Standard deviations, on top of a story, of the whole night's time and of the logarithm of its scale. */
  readonly nightSdMs: Millis;
  readonly scaleSd: number;
  readonly targetMix: readonly { readonly target: Target; readonly weight: number }[];
  /** Each of a tier as likely as any other; never empty. */
  readonly requestShapes: readonly RequestShape[];
  /** Nothing is expected before this; default: from now on. Only for playing a told night again. */
  readonly noneBeforeUnixMs?: UtcMillis;
}

/** All that a spread draws from. */
export interface Beliefs {
  /** As configured: requests in an evening hour. */
  readonly configuredPerHour: number;
  readonly overheads: OverheadBeliefs;
  readonly interruptions: InterruptionBelief;
  readonly arrivals: ArrivalBelief;
  /** Share of actions that fail and have to be done again. */
  readonly failureFraction: number;
  /** Rate at which a waiting request is withdrawn or cancelled. */
  readonly withdrawalsPerHour: number;
}

/** The configuration's `forecast` section. */
export interface ForecastSettings {
  readonly arrivalsPerHour: number;
  readonly overheadScatter: number;
  readonly openMinutes: number;
  readonly closedMinutes: number;
  readonly failureFraction: number;
}

/** How far a configured time may be from the true one before anything was measured (logarithm). */
const PRIOR_MEAN_SD = 0.35;
/** Until something is known, machines are believed to stick once in two hundred actions, for about two minutes. */
const PRIOR_STUCK: StuckBelief = { chancePerAction: 0.005, meanExtraMs: 2 * MINUTE };

/** What is believed before anything was learned. A scatter of 0 believes that times are exact. */
export function priorBeliefs(settings: ForecastSettings, observatory: Observatory): Beliefs {
  const { arrivalsPerHour, overheadScatter, openMinutes, closedMinutes, failureFraction } = settings;
  const exact = overheadScatter === 0;
  const component: OverheadBelief = {
    logMean: 0,
    logSd: overheadScatter,
    logMeanSd: exact ? 0 : PRIOR_MEAN_SD,
    measurements: 0,
  };
  return {
    configuredPerHour: arrivalsPerHour,
    overheads: {
      components: Object.fromEntries(COMPONENTS.map((name) => [name, component])) as Record<
        Component,
        OverheadBelief
      >,
      stuck: exact ? { chancePerAction: 0, meanExtraMs: 0 } : PRIOR_STUCK,
    },
    interruptions: {
      openMeanMs: openMinutes * MINUTE,
      openShape: Number.POSITIVE_INFINITY,
      closedMeanMs: closedMinutes * MINUTE,
      closedShape: Number.POSITIVE_INFINITY,
      openNow: true,
      forGood: 0,
      standsForGood: 0,
    },
    arrivals: {
      stories: [],
      nightSdMs: 0,
      scaleSd: 0,
      targetMix: somewhere(observatory.site).map((target) => ({ target, weight: 1 })),
      requestShapes: [ordinaryShape(observatory)],
    },
    failureFraction,
    withdrawalsPerHour: 0,
  };
}

/** The learned typical multiples, for the central run and for whoever moves the telescope. */
export function factorsOf({ overheads }: Beliefs): OverheadFactors {
  return Object.fromEntries(
    COMPONENTS.map((name) => [name, Math.exp(overheads.components[name].logMean)]),
  ) as Record<Component, number>;
}

/** The tier of whoever has no other: the second. */
export const CLASS_TIER = 1;

/** What a request looks like apart from its target. */
export function shapeOf({ filter, exposureSeconds, frames, tier, owner }: Request): RequestShape {
  return { filter, exposureSeconds, frames, tier, owner };
}

/** A short exposure in the first filter, by someone of the second tier. */
function ordinaryShape({ camera }: Observatory): RequestShape {
  const filter = camera.filters[0]?.name ?? "";
  return { filter, exposureSeconds: 30, frames: 2, tier: CLASS_TIER, owner: "someone" };
}
