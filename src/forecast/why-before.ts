/** Why one request starts before another: the decision at which their ways parted, played again. */
import type { UtcMillis } from "../base/units.js";
import type { Decider } from "../queue/decider.js";
import { NONE } from "../queue/queue-table.js";
import { NightEngine } from "./night-engine.js";
import type { NightInput } from "./night-run.js";
import { startOf } from "./night-start.js";

/** `first` starts before `second`; the decider's "other" is `second`. */
export interface Precedence {
  readonly first: number;
  readonly second: number;
  /** When `first` is taken, and so decided. */
  readonly decidedUnixMs: UtcMillis;
  readonly decider: Decider;
}

/**
 * Which of two waiting requests starts first in the central run and what decided, with its numbers.
 * @returns null when neither starts before the night ends, or either does not wait
 */
export function whyBefore(input: NightInput, a: number, b: number): Precedence | null {
  const engine = new NightEngine(input);
  const row = (number: number): number =>
    engine.table.requests.findIndex((request) => request.number === number);
  const rowA = row(a);
  const rowB = row(b);
  if (rowA < 0 || rowB < 0 || rowA === rowB) return null;
  for (let unixMs = startOf(input); unixMs < input.untilUnixMs; ) {
    const next = engine.decideAt(unixMs);
    if (next === rowA || next === rowB) {
      const [first, second, other] = next === rowA ? [a, b, rowB] : [b, a, rowA];
      return { first, second, decidedUnixMs: unixMs, decider: engine.whyNow(next, other) };
    }
    unixMs = next === NONE ? engine.nextChange() : engine.take(next).freeUnixMs;
  }
  return null;
}
