/** One question "when will mine run?", what was answered, and what came of it. */
import type { UtcMillis } from "../../base/units.js";
import type { Channel } from "./watcher.js";

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
  /** Some hold stood, with an end or without. */
  readonly held: boolean;
  readonly shownIn: Channel;
  /** Which night, of all that are scored together. */
  readonly night: string;
  readonly chanceTonight: number;
  readonly plain: PlainStarts;
  /** The same median between the usual errors of past answers at this horizon; null while there are too few. */
  readonly usual: Range | null;
}

/** What came of the request afterwards. */
export type Fact =
  | { readonly came: "started"; readonly startUnixMs: UtcMillis }
  /** When its turn would have come; null: not that night. */
  | { readonly came: "withdrawn"; readonly startUnixMs: UtcMillis | null }
  | { readonly came: "not tonight" };

export interface Judged {
  readonly answer: Answer;
  readonly fact: Fact;
  /** What those who know the truth would have said, where they were asked. */
  readonly oracle?: Range | null;
  /** The same from the truth itself, played on with other luck. */
  readonly playedOn?: Range | null;
}

/** When the request was taken, or would have been. */
export function startOf({ fact }: Judged): UtcMillis | null {
  return fact.came === "not tonight" ? null : fact.startUnixMs;
}
