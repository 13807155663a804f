/** Keeps a spread of tonight at hand: worked out anew when the queue changes, never while a person waits. */
import { type Log, silentLog } from "../base/log.js";
import { MINUTE, type Millis, type UtcMillis } from "../base/units.js";
import type { Config } from "../config/config.js";
import type { Turn } from "../forecast/night-run.js";
import type { Ranges, SpreadPool } from "../forecast/pool.js";
import { spreadOf } from "../forecast/spread.js";
import type { State } from "../journal/state.js";
import { Baseline } from "./baseline.js";
import type { Estimate } from "./forecast-service.js";
import type { ForeseenNight } from "./foreseen-night.js";
import type { Learning } from "./learning.js";
import { otherWork } from "./other-work.js";
import { type QueueMark, queueMark, sameMark } from "./queue-mark.js";

export interface LiveSpreadParts {
  readonly config: Config;
  readonly pool: SpreadPool;
  readonly learning: Learning;
  readonly log?: Log;
  /** Called with each finished spread and the instant it was made for. */
  readonly onSpread: (baseline: Baseline, madeUnixMs: UtcMillis) => void;
}

/** Starts (requests × runs) that are played within a few milliseconds, so that they need no worker. */
const SMALL = 6_000;
/** Time alone moves the central run; the distances from it stay good for so long. */
const KEEPS: Millis = 5 * MINUTE;

/** What a spread is made from, and when. */
interface Cause {
  readonly mark: QueueMark;
  readonly nightEndUnixMs: UtcMillis;
  readonly madeUnixMs: UtcMillis;
}

export class LiveSpread {
  private baseline: Baseline | null = null;
  /** Of a hold without an end: it gives chances, and no starts. */
  private whileHeld: Baseline | null = null;
  private cause: Cause | null = null;
  private underWay: Promise<void> | null = null;
  private next: { readonly tonight: ForeseenNight; readonly state: State } | null = null;

  private stopped = false;

  constructor(private readonly parts: LiveSpreadParts) {}

  /** Begins nothing more; what is under way may fail without a word. */
  stop(): void {
    this.stopped = true;
    this.next = null;
  }

  /** Sees to it that the spread for this night is at hand, or on its way. */
  follow(tonight: ForeseenNight, state: State): void {
    const { input } = tonight;
    if (this.stopped || input.waiting.length === 0) return;
    if (this.isGood(causeOf(tonight, state))) {
      this.next = null;
      return;
    }
    if (input.waiting.length * this.parts.config.forecast.runs <= SMALL) this.workOutNow(tonight, state);
    else {
      this.next = { tonight, state };
      this.underWay ??= this.workThrough();
    }
  }

  /** The newest finished spread; null before the first. */
  latest(): Baseline | null {
    return this.baseline;
  }

  /** An estimate with median, range and chance, as far as a spread is at hand. */
  refine(estimate: Estimate, tonight: ForeseenNight, state: State): Estimate {
    const baseline = isEndless(tonight) ? this.whileHeld : this.baseline;
    const refined = baseline?.refine(estimate, tonight.input.nowUnixMs, state) ?? estimate;
    const { turn, startUnixMs } = refined;
    if (turn === null || startUnixMs === null) return refined;
    return { ...refined, altitudeDegrees: tonight.altitudeDegrees(turn, startUnixMs) };
  }

  /** The start that `refine` gives a turn of the same night. */
  startOf(turn: Turn, tonight: ForeseenNight): UtcMillis {
    const { nowUnixMs } = tonight.input;
    const firstUnixMs = Math.max(nowUnixMs, tonight.notBefore(turn) ?? nowUnixMs);
    return this.baseline?.median(turn, firstUnixMs) ?? turn.takenUnixMs;
  }

  /** Resolves when nothing is being worked out. */
  async settled(): Promise<void> {
    await this.underWay;
  }

  private isGood({ mark, nightEndUnixMs, madeUnixMs }: Cause): boolean {
    const { cause } = this;
    if (cause === null || cause.nightEndUnixMs !== nightEndUnixMs) return false;
    return sameMark(cause.mark, mark) && madeUnixMs - cause.madeUnixMs < KEEPS;
  }

  private workOutNow(tonight: ForeseenNight, state: State): void {
    const { learning, config } = this.parts;
    const { input } = tonight;
    const spread = spreadOf(input, learning.beliefs(state, input.nowUnixMs), config.forecast);
    this.next = null;
    this.keep(baselineOf(spread.ranges, tonight), causeOf(tonight, state), isEndless(tonight));
  }

  private async workThrough(): Promise<void> {
    const { learning, config, pool, log } = this.parts;
    try {
      while (this.next !== null) {
        const { tonight, state } = this.next;
        this.next = null;
        const { input } = tonight;
        const cause = causeOf(tonight, state);
        await otherWork();
        const beliefs = learning.beliefs(state, input.nowUnixMs);
        await otherWork();
        const { ranges } = await pool.spread(input, beliefs, config.forecast);
        await otherWork();
        const baseline = baselineOf(ranges, tonight);
        await otherWork();
        this.keep(baseline, cause, isEndless(tonight));
      }
    } catch (error) {
      if (this.stopped) return;
      (log ?? silentLog).error(
        { reason: (error as Error).message },
        "the forecast's ranges are not up to date",
      );
    } finally {
      this.underWay = null;
    }
  }

  private keep(baseline: Baseline, cause: Cause, endless: boolean): void {
    if (this.cause !== null && cause.madeUnixMs < this.cause.madeUnixMs) return;
    if (endless) this.whileHeld = baseline;
    else this.baseline = baseline;
    this.cause = cause;
    this.parts.onSpread(baseline, cause.madeUnixMs);
  }
}

function isEndless({ input }: ForeseenNight): boolean {
  return input.holdUntilUnixMs === Number.POSITIVE_INFINITY;
}

function baselineOf(ranges: Ranges["ranges"], { run, input }: ForeseenNight): Baseline {
  return new Baseline(ranges, run, input.holdUntilUnixMs !== null);
}

function causeOf({ input }: ForeseenNight, state: State): Cause {
  return { mark: queueMark(state), nightEndUnixMs: input.untilUnixMs, madeUnixMs: input.nowUnixMs };
}
