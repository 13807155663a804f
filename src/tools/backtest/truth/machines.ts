/** How long things really take: slower than configured, uneven, now and then stuck, sometimes slowing in mid-night. */
import type { Random } from "../../../base/random.js";
import { MINUTE, type Millis, SECOND, type UtcMillis } from "../../../base/units.js";
import {
  type ActionTimes,
  CONFIGURED_OVERHEADS,
  type OverheadFactors,
} from "../../../observatory/observatory.js";
import { pareto, streamFor } from "./draws.js";
import type { Truth } from "./parameters.js";

type Part = keyof OverheadFactors;
const PARTS = Object.keys(CONFIGURED_OVERHEADS) as readonly Part[];

/** One action: which request, and the how manieth try. */
export interface TrueAction {
  readonly number: number;
  readonly attempt: number;
  readonly atUnixMs: UtcMillis;
  /** Frames × read-out as configured, which `configured.exposingMs` contains. */
  readonly readOutMs: Millis;
}

/** Times as they happen; `readOutMs` is contained in `times.exposingMs`. */
export interface TrueTimes {
  readonly times: ActionTimes;
  readonly readOutMs: Millis;
}

export type TrueMachines = (configured: ActionTimes, action: TrueAction) => TrueTimes;

/** What one night's machines have for themselves. */
export interface MachinesTonight {
  /** Typical multiples of the configured times. */
  readonly factors: OverheadFactors;
  /** The dome becomes slower in mid-night. */
  readonly slows: boolean;
}

/** Draws a night's multiples. @param isRepaired the dome has been mended on an earlier night */
export function machinesTonight(
  truth: Truth["machines"],
  seed: number,
  isRepaired: boolean,
): MachinesTonight {
  const night = streamFor(seed, 1);
  const typical = (part: Part): number =>
    part === "dome" && isRepaired ? truth.domeRepairedFactor : truth[part].factor;
  const factors = Object.fromEntries(
    PARTS.map((part) => [part, typical(part) * Math.exp(truth[part].nightSpread * night.normal())]),
  ) as Record<Part, number>;
  return { factors, slows: night.uniform() < truth.slowingNightShare };
}

/** One night's machines. What an action takes does not depend on when in the queue it comes. */
export function trueMachines(
  truth: Truth["machines"],
  { factors, slows }: MachinesTonight,
  seed: number,
  middleUnixMs: UtcMillis,
): TrueMachines {
  return (configured, { number, attempt, atUnixMs, readOutMs }) => {
    const random = streamFor(seed, 2, number, attempt);
    const real = (part: Part, ms: Millis): Millis => {
      const slowing = part === "dome" && slows && atUnixMs > middleUnixMs ? truth.slowingFactor : 1;
      return ms * factors[part] * Math.exp(truth[part].actionSpread * random.normal()) * slowing;
    };
    const stuck = sticking(truth, random);
    const stuckMs = (part: Part, ms: Millis): Millis => (stuck?.part === part && ms > 0 ? stuck.extraMs : 0);
    const slewMs = Math.round(real("slew", configured.slewMs) + stuckMs("slew", configured.slewMs));
    const domeMs = Math.round(real("dome", configured.domeMs) + stuckMs("dome", configured.domeMs));
    const filterMs = Math.round(real("filter", configured.filterMs));
    const shutterMs = Math.round(real("shutter", configured.shutterMs));
    const settleMs = Math.round(real("settle", configured.settleMs));
    const handOverMs = Math.round(real("handOver", configured.handOverMs));
    const trueReadOutMs = Math.round(real("readOut", readOutMs));
    const readyMs = Math.max(slewMs, domeMs, filterMs, shutterMs) + settleMs;
    const exposingMs = configured.exposingMs - readOutMs + trueReadOutMs;
    const totalMs = readyMs + exposingMs + handOverMs;
    const times = { slewMs, domeMs, filterMs, shutterMs, settleMs, readyMs, exposingMs, handOverMs, totalMs };
    return { times, readOutMs: trueReadOutMs };
  };
}

/** Now and then the dome or the mount sticks: a Pareto tail. */
function sticking(
  { stuckShare, stuckSeconds, stuckTail, longestStuckMinutes }: Truth["machines"],
  random: Random,
): { readonly part: Part; readonly extraMs: Millis } | null {
  const part = random.uniform() < 0.5 ? "dome" : "slew";
  const sticks = random.uniform() < stuckShare;
  const extraMs = pareto(stuckSeconds * SECOND, stuckTail, longestStuckMinutes * MINUTE, random);
  return sticks ? { part, extraMs } : null;
}
