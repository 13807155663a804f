/** How many requests fit into a stretch of a night: for planning a class. */
import { type Degrees, HOUR, SECOND, type UtcMillis } from "../base/units.js";
import { CONFIGURED_OVERHEADS, type Observatory } from "../observatory/observatory.js";
import { parkedPointing } from "../observatory/pointing.js";
import { type Request, waitingRequest } from "../queue/request.js";
import type { Target } from "../sky/target.js";
import type { Beliefs } from "./learn/beliefs.js";
import { type SpreadOptions, spreadOf } from "./spread.js";

/** What the class would ask for, in turn. */
export interface ClassWish {
  readonly target: Target;
  readonly filter: string;
  readonly exposureSeconds: number;
  readonly frames: number;
}

/** Requests completed within the stretch: median and central 80 %. */
export interface Fitting {
  /** The stretch may hold more than were tried: only `low` is to be relied on. */
  readonly open: boolean;
  readonly low: number;
  readonly median: number;
  readonly high: number;
}

export interface FittingParts {
  readonly observatory: Observatory;
  readonly worthwhileAltitudeDegrees: Degrees | null;
  readonly beliefs: Beliefs;
  readonly options: SpreadOptions;
}

/** However short the exposures, no more are tried: no class asks for more, and trying takes its time. */
const MOST_REQUESTS = 600;

/**
 * Plays the stretch with the wishes in their order, again and again, and nothing but them; the telescope stands
 * open and ready.
 */
export function fittingOf(
  wishes: readonly ClassWish[],
  fromUnixMs: UtcMillis,
  untilUnixMs: UtcMillis,
  { observatory, worthwhileAltitudeDegrees, beliefs, options }: FittingParts,
): Fitting {
  if (wishes.length === 0) return { open: false, low: 0, median: 0, high: 0 };
  const waiting = enough(wishes, fromUnixMs, untilUnixMs, observatory);
  const input = {
    nowUnixMs: fromUnixMs,
    untilUnixMs,
    observatory,
    overheads: CONFIGURED_OVERHEADS,
    rule: "first-come" as const,
    worthwhileAltitudeDegrees,
    waiting,
    current: null,
    pointing: { ...parkedPointing(observatory), shutterOpen: true },
    holdUntilUnixMs: null,
    takenTonight: new Map(),
  };
  const { starts } = spreadOf(input, alone(beliefs), options);
  const counts = Array.from({ length: options.runs }, (_, run) => {
    let count = 0;
    for (let row = 0; row < waiting.length; row++)
      if (!Number.isNaN(starts[row * options.runs + run]!)) count++;
    return count;
  }).sort((a, b) => a - b);
  const at = (share: number): number => counts[Math.round(share * (counts.length - 1))] as number;
  return { open: at(0.9) === waiting.length, low: at(0.1), median: at(0.5), high: at(0.9) };
}

/** Nobody else asks, and nobody leaves. */
function alone(beliefs: Beliefs): Beliefs {
  return {
    ...beliefs,
    arrivals: { ...beliefs.arrivals, stories: [] },
    interruptions: { ...beliefs.interruptions, openNow: true, forGood: 0 },
    withdrawalsPerHour: 0,
  };
}

function enough(
  wishes: readonly ClassWish[],
  fromUnixMs: UtcMillis,
  untilUnixMs: UtcMillis,
  { camera, mount, handOverSeconds }: Observatory,
): readonly Request[] {
  const quickest = Math.min(
    ...wishes.map(({ exposureSeconds, frames }) => frames * (exposureSeconds + camera.readOutSeconds)),
  );
  const leastMs = 0.7 * (quickest + mount.settleSeconds + handOverSeconds) * SECOND;
  const most = Math.min(MOST_REQUESTS, Math.ceil((untilUnixMs - fromUnixMs) / leastMs));
  const count = Math.max(wishes.length, most);
  return Array.from({ length: count }, (_, index) =>
    waitingRequest({
      ...(wishes[index % wishes.length] as ClassWish),
      number: index + 1,
      owner: `student-${index}`,
      notBeforeUnixMs: null,
      tier: 0,
      askedUnixMs: fromUnixMs - HOUR,
    }),
  );
}
