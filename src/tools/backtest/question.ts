/** One question "when will mine run?", what was answered, and what came of it. */
import type { UtcMillis } from "../../base/units.js";

export const BASELINES = ["queueLengthTimesMeanService", "lastServedWait", "headOfLineWait"] as const;
export type Baseline = (typeof BASELINES)[number];
/** Each plain predictor's start. */
export type PlainStarts = Readonly<Record<Baseline, UtcMillis>>;

/** A median start and its range. */
export interface Range {
  readonly lowUnixMs: UtcMillis;
  readonly medianUnixMs: UtcMillis;
  readonly highUnixMs: UtcMillis;
}

/** The answer given. */
export interface Answer {
  readonly number: number;
  readonly questionUnixMs: UtcMillis;
  /** null where no start tonight was promised: it was thought more likely not to run. */
  readonly start: Range | null;
  /** Staff held the queue without an end: then no start is promised to anyone. */
  readonly onHold: boolean;
  readonly chanceTonight: number;
  readonly plain: PlainStarts;
}

/** What came of the request afterwards. */
export type Fact =
  | { readonly came: "started"; readonly startUnixMs: UtcMillis }
  | { readonly came: "withdrawn" }
  | { readonly came: "not tonight" };

export interface Judged {
  readonly answer: Answer;
  readonly fact: Fact;
}
