/** A finished spread beside the central run it belongs to: what turns a central start into a median and a range. */
import { bisector } from "d3-array";
import type { Millis, UtcMillis } from "../base/units.js";
import { endsFor, LEAST_HALF_RANGE, startAt } from "../forecast/learn/calibration.js";
import { chanceFor } from "../forecast/learn/chance-calibration.js";
import type { NightRun, Turn } from "../forecast/night-run.js";
import type { Ranges } from "../forecast/pool.js";
import type { StartRange } from "../forecast/spread.js";
import { twoStarts } from "../forecast/two-starts.js";
import type { State } from "../journal/state.js";
import type { Estimate } from "./forecast-service.js";

/** How a spread stands to a central start. */
interface Offset {
  readonly centralUnixMs: UtcMillis;
  readonly medianMs: Millis;
  readonly quantiles: ArrayLike<UtcMillis>;
  readonly chanceTonight: number;
}

const nearest = bisector((offset: Offset) => offset.centralUnixMs).center;

export class Baseline {
  private readonly offsets = new Map<number, Offset>();
  /** In order of central start, for requests made since. */
  private readonly inOrder: readonly Offset[];

  constructor(
    readonly ranges: Ranges["ranges"],
    central: NightRun,
    /** Some hold stood when it was made. */
    readonly isHeld: boolean,
  ) {
    for (const { number, takenUnixMs } of central.turns) {
      const offset = offsetFrom(takenUnixMs, ranges.get(number));
      if (offset) this.offsets.set(number, offset);
    }
    this.inOrder = [...this.offsets.values()];
  }

  /**
   * The central estimate with median, range and chance. While the spread of the present state is still being
   * worked out, each request keeps its distance from the central run, and a new one takes that of the request
   * that starts next to it; so what is told at once and what is shown a moment later come from one source.
   */
  refine(estimate: Estimate, nowUnixMs: UtcMillis, { calibration, night }: State): Estimate {
    const { number, turn, place } = estimate;
    if (place === 0) return estimate;
    const chance = (raw: number): number => chanceFor(calibration, night, raw, this.isHeld);
    if (turn === null) {
      const range = this.ranges.get(number);
      return { ...estimate, chanceTonight: range ? chance(range.chanceTonight) : estimate.chanceTonight };
    }
    const offset = this.offsetOf(turn);
    if (offset === null) return estimate;
    const firstUnixMs = Math.max(nowUnixMs, estimate.notBeforeUnixMs ?? nowUnixMs);
    const medianUnixMs = medianOf(turn, offset, firstUnixMs);
    const ends = endsFor(calibration, night, medianUnixMs - nowUnixMs);
    const movedMs = turn.takenUnixMs - offset.centralUnixMs;
    const low = Math.min(startAt(offset.quantiles, ends.low) + movedMs, medianUnixMs - LEAST_HALF_RANGE);
    const high = Math.max(startAt(offset.quantiles, ends.high) + movedMs, medianUnixMs + LEAST_HALF_RANGE);
    const earliestUnixMs = Math.round(Math.max(firstUnixMs, low));
    return {
      ...estimate,
      startUnixMs: medianUnixMs,
      earliestUnixMs,
      latestUnixMs: Math.round(Math.max(high, earliestUnixMs + 2 * LEAST_HALF_RANGE)),
      chanceTonight: chance(offset.chanceTonight),
      ...this.eitherOf(number, movedMs, firstUnixMs),
    };
  }

  /** Of its own spread alone: another's says nothing of where its own windows lie. */
  private eitherOf(number: number, movedMs: Millis, fromUnixMs: UtcMillis): Pick<Estimate, "either"> {
    const offset = this.offsets.get(number);
    const two = offset ? twoStarts(offset.quantiles) : null;
    if (two === null) return {};
    const [firstUnixMs, otherUnixMs] = [two.firstUnixMs, two.otherUnixMs].map((each) =>
      Math.round(each + movedMs),
    );
    return firstUnixMs! < fromUnixMs
      ? {}
      : { either: { firstUnixMs: firstUnixMs!, otherUnixMs: otherUnixMs! } };
  }

  /** The median start alone; the turn's own where nothing is known of it. */
  median(turn: Turn, firstUnixMs: UtcMillis): UtcMillis {
    const offset = this.offsetOf(turn);
    return offset === null ? turn.takenUnixMs : medianOf(turn, offset, firstUnixMs);
  }

  private offsetOf({ number, takenUnixMs }: Turn): Offset | null {
    return this.offsets.get(number) ?? this.near(takenUnixMs);
  }

  private near(unixMs: UtcMillis): Offset | null {
    return this.inOrder[nearest(this.inOrder, unixMs)] ?? null;
  }
}

function medianOf({ takenUnixMs }: Turn, { medianMs }: Offset, firstUnixMs: UtcMillis): UtcMillis {
  return Math.round(Math.max(firstUnixMs, takenUnixMs + medianMs));
}

function offsetFrom(centralUnixMs: UtcMillis, range: StartRange | undefined): Offset | null {
  if (!range || range.medianUnixMs === null || range.quantiles === null) return null;
  const { medianUnixMs, quantiles, chanceTonight } = range;
  return { centralUnixMs, medianMs: medianUnixMs - centralUnixMs, quantiles, chanceTonight };
}
