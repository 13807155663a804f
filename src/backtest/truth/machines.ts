/** How long things really take: slower than configured, uneven, now and then stuck, sometimes slowing in mid-night. */
import { MINUTE, type Millis, SECOND, type UtcMillis } from "../../base/units.js";
import {
  type ActionTimes,
  CONFIGURED_OVERHEADS,
  type OverheadFactors,
} from "../../observatory/observatory.js";
import { pareto, streamFor } from "./draws.js";
import type { Truth } from "./parameters.js";

type Part = keyof OverheadFactors;
const PARTS = Object.keys(CONFIGURED_OVERHEADS) as readonly Part[];

/** One action: which request, and the how manieth try. */
export interface Action {
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

export type TrueMachines = (configured: ActionTimes, action: Action) => TrueTimes;

/** One night's machines. What an action takes does not depend on when in the queue it comes. */
export function trueMachines(truth: Truth["machines"], seed: number, middleUnixMs: UtcMillis): TrueMachines {
  const night = streamFor(seed, 1);
  const tonight = new Map(
    PARTS.map((part) => [part, truth[part].factor * Math.exp(truth[part].nightSpread * night.normal())]),
  );
  const slows = night.uniform() < truth.slowingNightShare;

  return (configured, { number, attempt, atUnixMs, readOutMs }) => {
    const random = streamFor(seed, 2, number, attempt);
    const real = (part: Part, ms: Millis): Millis => {
      const slowing = part === "dome" && slows && atUnixMs > middleUnixMs ? truth.slowingFactor : 1;
      const factor = tonight.get(part)! * Math.exp(truth[part].actionSpread * random.normal());
      return ms * factor * slowing;
    };
    const stuckPart = random.uniform() < 0.5 ? "dome" : "slew";
    const isStuck = random.uniform() < truth.stuckShare;
    const stuckMs = pareto(
      truth.stuckSeconds * SECOND,
      truth.stuckTail,
      truth.longestStuckMinutes * MINUTE,
      random,
    );
    const withStuck = (part: Part, ms: Millis): Millis =>
      Math.round(real(part, ms) + (isStuck && part === stuckPart && ms > 0 ? stuckMs : 0));

    const slewMs = withStuck("slew", configured.slewMs);
    const domeMs = withStuck("dome", configured.domeMs);
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
