/** What one night's run comes to, in the figures by which ordering rules are compared. */
import { max, mean, median, sum } from "d3-array";
import { type Millis, SECOND, type Seconds, type UtcMillis } from "../base/units.js";
import type { PersonId, Request } from "../queue/request.js";
import { airmassAtTrue } from "../sky/airmass.js";
import type { NightInput, NightRun } from "./night-run.js";

export interface RunFigures {
  /** Numbers of the requests in run order. */
  readonly order: readonly number[];
  readonly completed: number;
  /** Waiting now, without a turn tonight. */
  readonly left: number;
  /** Of these, the ones that could be observed: others fill the time. Seconds of exposure of each, the longest first. */
  readonly droppedSeconds: readonly Seconds[];
  /** When exposures begin; NaN when nothing runs. */
  readonly meanAirmass: number;
  readonly worstAirmass: number;
  /**
   * From asking, or from the "not before" that was asked for, to the telescope's beginning to move, for those
   * that run; NaN when nothing runs.
   */
  readonly medianWaitMs: Millis;
  readonly worstWaitMs: Millis;
  /** Gini coefficient of the turns that owners have had by the end of the night: 0 for as many each. */
  readonly turnsGini: number;
  readonly movingMs: Millis;
  /** The shutter is open: read-out does not count. */
  readonly exposingMs: Millis;
}

/** Sums a run up. Owners are those with a request waiting and those who have had a turn tonight; such turns count. */
export function figuresOf(
  { turns, withoutTurn }: NightRun,
  { waiting, takenTonight }: NightInput,
): RunFigures {
  const requests = new Map(waiting.map((request) => [request.number, request]));
  const airmasses = turns.map(({ altitudeDegrees }) => airmassAtTrue(altitudeDegrees));
  const waits = turns.map(
    ({ number, takenUnixMs }) => takenUnixMs - ripeUnixMs(requests.get(number) as Request),
  );
  const had = new Map<PersonId, number>([
    ...waiting.map(({ owner }) => [owner, 0] as const),
    ...takenTonight,
  ]);
  for (const { number } of turns) {
    const { owner } = requests.get(number) as Request;
    had.set(owner, (had.get(owner) ?? 0) + 1);
  }
  return {
    order: turns.map(({ number }) => number),
    completed: turns.length,
    left: withoutTurn.size,
    droppedSeconds: [...withoutTurn]
      .filter(([, { why }]) => why === "no-time")
      .map(([number]) => openShutterMs(requests.get(number) as Request) / SECOND)
      .sort((a, b) => b - a),
    meanAirmass: mean(airmasses) ?? Number.NaN,
    worstAirmass: max(airmasses) ?? Number.NaN,
    medianWaitMs: median(waits) ?? Number.NaN,
    worstWaitMs: max(waits) ?? Number.NaN,
    turnsGini: gini([...had.values()]),
    movingMs: sum(turns, ({ times }) => times.readyMs),
    exposingMs: sum(turns, ({ number }) => openShutterMs(requests.get(number) as Request)),
  };
}

/** Nobody waits for a request before it may run. */
function ripeUnixMs({ askedUnixMs, notBeforeUnixMs }: Request): UtcMillis {
  return Math.max(askedUnixMs, notBeforeUnixMs ?? askedUnixMs);
}

function openShutterMs({ frames, exposureSeconds }: Request): Millis {
  return frames * exposureSeconds * SECOND;
}

/**
 * Gini coefficient: half the mean difference between two members, over the mean (C. Gini 1912, Variabilità e
 * mutabilità); here by the sorted form, 0 for a sum of 0.
 */
export function gini(values: readonly number[]): number {
  const total = sum(values);
  if (total === 0) return 0;
  const sorted = [...values].sort((a, b) => a - b);
  const weighted = sorted.reduce(
    (all, value, index) => all + (2 * (index + 1) - sorted.length - 1) * value,
    0,
  );
  return weighted / (sorted.length * total);
}
