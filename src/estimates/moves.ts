/** Which estimates differ from what people were told. */
import { MINUTE, type Millis, type UtcMillis } from "../base/units.js";
import type { EstimateMove, NightslateEvent, ToldEstimate } from "../journal/events.js";
import type { State } from "../journal/state.js";
import type { Estimate } from "./forecast-service.js";

/** An estimate beside what was told. */
export type Shift = Omit<EstimateMove, "because">;

/** A shift still without its cause. */
export interface UnexplainedMove extends Shift {
  /** The journal's entry with which the earlier estimate was told, and when; since then something has changed. */
  readonly toldEntry: number;
  readonly toldUnixMs: UtcMillis;
  /** The range of the new estimate. */
  readonly earliestUnixMs: UtcMillis | null;
  readonly latestUnixMs: UtcMillis | null;
}

export interface Differences {
  /** Waiting requests whose owners have been told nothing but the reply to their request. */
  readonly first: readonly ToldEstimate[];
  readonly moved: readonly Shift[];
}

/**
 * Compares the forecast with what was told; a shift counts when it is greater than `movedMs`.
 * @param told the estimate told for a number: null for none tonight
 */
export function differencesFrom(
  order: readonly Estimate[],
  told: ReadonlyMap<number, UtcMillis | null>,
  movedMs: Millis,
): Differences {
  const first: ToldEstimate[] = [];
  const moved: Shift[] = [];
  for (const { number, startUnixMs } of order) {
    const fromUnixMs = told.get(number);
    if (fromUnixMs === undefined) first.push({ number, startUnixMs });
    else if (shifted(fromUnixMs, startUnixMs, movedMs)) moved.push({ number, fromUnixMs, startUnixMs });
  }
  return { first, moved };
}

function shifted(from: UtcMillis | null, to: UtcMillis | null, movedMs: Millis): boolean {
  if (from === null || to === null) return from !== to;
  return Math.abs(to - from) > movedMs;
}

/** What a look at the forecast found to be told. */
export interface Findings {
  readonly told: readonly ToldEstimate[];
  readonly moves: readonly EstimateMove[];
  readonly next: { readonly number: number; readonly startUnixMs: UtcMillis } | null;
}

/** The findings as events, without what the state has overtaken meanwhile. */
export function eventsOf({ told, moves, next }: Findings, state: State): NightslateEvent[] {
  const estimates = told.filter(({ number }) => state.waiting.has(number) && !state.told.has(number));
  const here = new Map(estimates.map(({ number, startUnixMs }) => [number, startUnixMs]));
  const moved = moves.filter(
    ({ number, fromUnixMs }) =>
      state.waiting.has(number) &&
      (state.told.has(number) ? state.told.get(number) : here.get(number)) === fromUnixMs,
  );
  const events: NightslateEvent[] = [];
  if (estimates.length > 0) events.push({ type: "estimates.told", estimates });
  if (moved.length > 0) events.push({ type: "estimates.moved", moves: moved });
  if (next && state.waiting.has(next.number) && !state.toldNext.has(next.number)) {
    events.push({ type: "request.next", ...next });
  }
  return events;
}

/** Someone whose turn comes within this hears that they are next. */
export const NEXT_WITHIN: Millis = 15 * MINUTE;

/** The first in the run order, if its owner is to hear now that it is next. */
export function nextFrom(order: readonly Estimate[], state: State, nowUnixMs: UtcMillis): Findings["next"] {
  const first = order[0];
  if (first?.place !== 1 || first.startUnixMs === null || state.toldNext.has(first.number)) return null;
  const soon = state.taken !== null || first.startUnixMs <= nowUnixMs + NEXT_WITHIN;
  return soon ? { number: first.number, startUnixMs: first.startUnixMs } : null;
}
