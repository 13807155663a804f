/** The forecast as commands see it: always ready, never recomputed while a person waits. Interface only. */
import type { Degrees, UtcMillis } from "../base/units.js";
import type { ClassWish, Fitting } from "../forecast/fitting.js";
import type { NightRun, NoTurn, Step, Turn, Work } from "../forecast/night-run.js";
import type { RunFigures } from "../forecast/run-figures.js";
import type { TwoStarts } from "../forecast/two-starts.js";
import type { Precedence } from "../forecast/why-before.js";
import type { OverheadFactors } from "../observatory/observatory.js";
import type { Request, RuleName } from "../queue/request.js";

/** Less likely than this to run tonight, a start is shown beside when it may run if not, and is no promise. */
export const LIKELY = 0.5;

/** "When will mine run?" */
export interface Estimate {
  readonly number: number;
  /** 1-based, by the starts as they are told; 0 for the one being observed now; null when it has no turn tonight. */
  readonly place: number | null;
  /** Its owner may be told "you are next" (`isNext`); left out for everyone else. */
  readonly next?: true;
  /** Median start (telescope begins to move); null when tonight is unlikely. */
  readonly startUnixMs: UtcMillis | null;
  /** Where nothing can begin yet: when its window opens, or the "not before" that was asked for, whichever is later. */
  readonly notBeforeUnixMs?: UtcMillis;
  /** Central 80 %; equal to the start where no spread has been computed. */
  readonly earliestUnixMs: UtcMillis | null;
  readonly latestUnixMs: UtcMillis | null;
  /** Where it may start in either of two stretches of the night, far apart; left out where all is one range. */
  readonly either?: TwoStarts;
  /** Chance of starting before the end of tonight, 0 to 1. */
  readonly chanceTonight: number;
  /** True altitude when exposures begin, by the start that is told; null when it has no turn. */
  readonly altitudeDegrees: Degrees | null;
  /** Its turn in the central run; null when it has none. */
  readonly turn: Turn | null;
  readonly noTurn: NoTurn | null;
  /** The first night after tonight on which it could run, and when; null when not looked for or none within a week. */
  readonly laterUnixMs: UtcMillis | null;
  /** The week to come was looked through, and it has no turn in it. */
  readonly notThisWeek?: boolean;
}

export interface ForecastService {
  /** The central run for the queue as it stands (computed once for each state and minute). */
  central(): NightRun;
  /** The same; where a hold takes up the whole night, as it would be if the hold were lifted now. */
  ifLifted(): NightRun;
  /** What that run says of a request, without a range; null for one that does not wait. */
  estimateIfLifted(number: number): Estimate | null;
  /** null for a request that is not waiting or taken. */
  estimate(number: number): Estimate | null;
  /** All waiting requests in order of place, those without a turn last, by number. */
  order(): readonly Estimate[];
  /** Places by number, in order, of those with a turn tonight: the same as in their estimates. */
  places(): ReadonlyMap<number, number>;
  /**
   * What the telescope should do: the first step of the central run.
   * @param atUnixMs the instant of the decision, where a telescope knows it exactly; default: now
   * @param number as if this one alone waited; default: all that wait
   */
  nextStep(atUnixMs?: UtcMillis, number?: number): Step;
  /** What a request's action is if it is taken at an instant, whether or not it has a turn then. */
  workAt(request: Request, unixMs: UtcMillis): Work;
  /**
   * Which of two requests runs first and what decided, in the run of `ifLifted`; one may be the one under way, as
   * the night was when it was taken. null when neither runs tonight or one does not wait.
   */
  whyBefore(a: number, b: number): Precedence | null;
  /** When one that waits for its target's best would be taken if it did not wait; null for not tonight. */
  startWithoutWait(number: number): UtcMillis | null;
  /** The central run under another rule (for comparing). */
  underRule(rule: RuleName): NightRun;
  /** What tonight's queue comes to under a rule; a hold without an end is taken to end now. */
  figuresUnder(rule: RuleName): Promise<RunFigures>;
  /** How many of these wishes, asked for in turn, would be done in a stretch of some night. */
  fitting(wishes: readonly ClassWish[], fromUnixMs: UtcMillis, untilUnixMs: UtcMillis): Fitting;
  /** The learned multiples of the configured times that the forecast and the telescope's steps use now. */
  overheads(): OverheadFactors;
  /**
   * Resolves when the ranges belong to the present state. Estimates given meanwhile keep each request's
   * distance from the central run as it was in the last spread.
   */
  settled(): Promise<void>;
}
