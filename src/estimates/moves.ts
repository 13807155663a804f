/** Which estimates differ from what people were told. */
import type { Millis, UtcMillis } from "../base/units.js";
import type { EstimateMove, NightslateEvent, Overtaken, ToldEstimate, ToldRange } from "../journal/events.js";
import type { State } from "../journal/state.js";
import { type Estimate, type ForecastService, LIKELY } from "./forecast-service.js";

/** An estimate beside what was told. */
export type Shift = Omit<EstimateMove, "because" | keyof ToldRange>;

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
  readonly next: ({ readonly number: number; readonly startUnixMs: UtcMillis } & ToldRange) | null;
  readonly overtaken: readonly Overtaken[];
  /** One that would lose its turn by waiting for its target's best, and when it starts if it does not wait. */
  readonly missed: { readonly number: number; readonly startUnixMs: UtcMillis } | null;
}

/** The findings as events, without what the state has overtaken meanwhile. */
export function eventsOf(
  { told, moves, next, overtaken, missed }: Findings,
  state: State,
): NightslateEvent[] {
  const estimates = told.filter(({ number }) => state.waiting.has(number) && !state.told.has(number));
  const here = new Map(estimates.map(({ number, startUnixMs }) => [number, startUnixMs]));
  const passed = overtaken.filter(({ number }) => state.toldNext.has(number) || state.overtaken.has(number));
  const moved = moves.filter(
    ({ number, fromUnixMs }) =>
      state.waiting.has(number) &&
      !passed.some((each) => each.number === number) &&
      (state.told.has(number) ? state.told.get(number) : here.get(number)) === fromUnixMs,
  );
  const events: NightslateEvent[] = [];
  if (estimates.length > 0) events.push({ type: "estimates.told", estimates });
  if (moved.length > 0) events.push({ type: "estimates.moved", moves: moved });
  for (const each of passed) events.push({ type: "request.overtaken", ...each });
  const giving = missed && state.waiting.has(missed.number) ? state.requests.get(missed.number) : undefined;
  if (missed && giving?.best) {
    const { notBeforeUnixMs } = giving.best;
    events.push({ type: "request.earliest", ...missed, notBeforeUnixMs, best: null, because: "missed" });
  }
  if (next && state.waiting.has(next.number) && !state.toldNext.has(next.number)) {
    events.push({ type: "request.next", ...next });
  }
  return events;
}

/** Who is next, if its owner is to hear of it now; whoever was overtaken hears it with that. */
export function nextFrom(order: readonly Estimate[], state: State): Findings["next"] {
  const first = order.find(({ next }) => next);
  if (first === undefined || first.startUnixMs === null) return null;
  if (state.toldNext.has(first.number) || state.overtaken.has(first.number)) return null;
  return { number: first.number, startUnixMs: first.startUnixMs, ...rangeOf(first) };
}

/**
 * Who was told "you are next" and is not: another has been taken, or stands before it by the run itself.
 * @param whyBefore which of two runs first and what decided; null when that cannot be said
 */
export function overtakenFrom(
  order: readonly Estimate[],
  state: State,
  whyBefore: ForecastService["whyBefore"],
): Overtaken[] {
  const [first] = order;
  const found: Overtaken[] = [];
  for (const estimate of order) {
    const { number, place, startUnixMs } = estimate;
    const taken = state.overtaken.get(number);
    if (taken === undefined && (place === null || place === 1 || !state.toldNext.has(number))) continue;
    const by = taken ?? first?.number ?? number;
    const why = whyBefore(number, by);
    if (taken === undefined && why?.first !== by) continue;
    const decider = why?.first === by ? why.decider : null;
    found.push({ number, startUnixMs, ...rangeOf(estimate), by, decider, next: estimate.next === true });
  }
  return found;
}

/** Who waits for its target's best and is likelier to miss its turn than to have it so, but would have it otherwise. */
export function missedByWaiting(
  order: readonly Estimate[],
  { requests }: State,
  forecast: Pick<ForecastService, "startWithoutWait">,
  nowUnixMs: UtcMillis,
): Findings["missed"] {
  for (const { number, turn, chanceTonight, noTurn } of order) {
    const { best, notBeforeUnixMs } = requests.get(number) ?? {};
    if (!best || (notBeforeUnixMs ?? 0) <= nowUnixMs || noTurn?.why === "hold") continue;
    if (turn !== null && chanceTonight >= LIKELY) continue;
    const startUnixMs = forecast.startWithoutWait(number);
    if (startUnixMs !== null && (turn === null || startUnixMs < turn.takenUnixMs))
      return { number, startUnixMs };
  }
  return null;
}

function rangeOf({ earliestUnixMs, latestUnixMs }: Estimate): ToldRange {
  return earliestUnixMs === null || latestUnixMs === null ? {} : { earliestUnixMs, latestUnixMs };
}
