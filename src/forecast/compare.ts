/** What one night's run comes to, in the figures by which ordering rules are compared. */
import type { Millis } from "../base/units.js";
import type { PersonId, Request } from "../queue/request.js";
import type { NightInput, NightRun } from "./night-run.js";

export interface RunFigures {
  readonly completed: number;
  /** Waiting now, without a turn tonight. */
  readonly left: number;
  /** When exposures begin; NaN when nothing runs. */
  readonly meanAirmass: number;
  readonly worstAirmass: number;
  /** From asking to the telescope's beginning to move, for those that run; NaN when nothing runs. */
  readonly medianWaitMs: Millis;
  readonly worstWaitMs: Millis;
  /** Gini coefficient of the turns that owners have had by the end of the night: 0 for as many each. */
  readonly turnsGini: number;
  readonly movingMs: Millis;
  readonly exposingMs: Millis;
}

/** Sums a run up. Owners are those with a request waiting; turns they have had earlier tonight count. */
export function figuresOf(
  { turns, withoutTurn }: NightRun,
  { waiting, takenTonight }: NightInput,
): RunFigures {
  const requests = new Map(waiting.map((request) => [request.number, request]));
  const airmasses = turns.map(({ airmass }) => airmass);
  const waits = turns
    .map(({ number, takenUnixMs }) => takenUnixMs - (requests.get(number) as Request).askedUnixMs)
    .sort((a, b) => a - b);
  const had = new Map<PersonId, number>(waiting.map(({ owner }) => [owner, takenTonight.get(owner) ?? 0]));
  for (const { number } of turns) {
    const { owner } = requests.get(number) as Request;
    had.set(owner, (had.get(owner) ?? 0) + 1);
  }
  return {
    completed: turns.length,
    left: withoutTurn.size,
    meanAirmass: sum(airmasses) / airmasses.length,
    worstAirmass: airmasses.length === 0 ? Number.NaN : Math.max(...airmasses),
    medianWaitMs: middle(waits),
    worstWaitMs: waits.at(-1) ?? Number.NaN,
    turnsGini: gini([...had.values()]),
    movingMs: sum(turns.map(({ times }) => times.readyMs)),
    exposingMs: sum(turns.map(({ times }) => times.exposingMs)),
  };
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

function sum(values: readonly number[]): number {
  return values.reduce((total, value) => total + value, 0);
}

function middle(sorted: readonly number[]): number {
  if (sorted.length === 0) return Number.NaN;
  const half = (sorted.length - 1) / 2;
  return (sorted[Math.floor(half)]! + sorted[Math.ceil(half)]!) / 2;
}
