/** A plan as the rule `planned` follows it in the course of a night; rows are those of the queue table. */
import type { UtcMillis } from "../../base/units.js";
import type { Plan } from "./plan.js";

export interface Followed {
  /** Back to the start of the night. */
  reset(): void;
  /** The row to take now; NONE when nobody is to be taken now. */
  next(): number;
  /** The next instant at which someone no longer waits for height; Infinity for none. */
  nextChange(): UtcMillis;
  /** The plan as it has been mended. */
  plan(): Plan;
  /** When a row is expected to begin; null when it has no place. */
  expectedUnixMs(row: number): UtcMillis | null;
  /** Until when a row waits for height; null when it does not. */
  waitsUntil(row: number): UtcMillis | null;
  /** Whether two turns are the same but for who asked. */
  alike(row: number, other: number): boolean;
  /** Sine of the true altitude of a row's target, and its airmass, at any instant of the night. */
  sineAt(row: number, unixMs: UtcMillis): number;
  airmassAt(row: number, unixMs: UtcMillis): number;
}
