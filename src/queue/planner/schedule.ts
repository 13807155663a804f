/** Turns in an order, played with the machines: when each starts, what all of it is worth, how much may be late. */
import { MINUTE, type UtcMillis } from "../../base/units.js";
import type { Pointing } from "../../observatory/observatory.js";
import type { Problem } from "./problem.js";

export class Schedule {
  /** The rows with a turn, in order; the first `count` entries count. */
  readonly order: Int32Array;
  count = 0;
  readonly start: Float64Array;
  readonly ready: Float64Array;
  readonly free: Float64Array;
  readonly cost: Float64Array;
  /** Before each place: how long the telescope has stood idle. */
  readonly idle: Float64Array;
  /** By place: how much later it may start without anything being lost from there on. */
  readonly slack: Float64Array;
  /** By place: what a later start costs there and behind, per millisecond. */
  readonly slope: Float64Array;
  /** Worths less costs. */
  value = 0;
  private readonly after: Pointing[] = [];

  constructor(readonly problem: Problem) {
    const { rows } = problem;
    this.order = new Int32Array(rows);
    const column = (): Float64Array => new Float64Array(rows + 1);
    this.start = column();
    this.ready = column();
    this.free = column();
    this.cost = column();
    this.idle = column();
    this.slack = column();
    this.slope = column();
  }

  /** When the telescope is free for a place, and where it stands then. */
  standBefore(place: number): UtcMillis {
    const { problem } = this;
    if (place === 0) {
      problem.stand();
      return problem.task.fromUnixMs;
    }
    problem.stand(this.after[place - 1]!);
    return this.free[place - 1]!;
  }

  /**
   * Plays rows one after another, each as soon as it may be taken; what cannot be taken any more is left out.
   * @param waits by place in `rows`: not before; left out: nobody waits
   * @param kept so many places stay as they were played last
   */
  play(rows: ArrayLike<number>, waits: ArrayLike<number> | null = null, kept = 0): number {
    const { problem } = this;
    let free = this.standBefore(kept);
    let count = kept;
    let idle = kept === 0 ? 0 : this.idle[kept - 1]!;
    for (let place = kept; place < rows.length; place++) {
      const row = rows[place]!;
      const from = waits === null ? free : Math.max(free, waits[place]!);
      if (!problem.begin(row, from)) continue;
      const { startUnixMs, readyMs, freeUnixMs } = problem;
      idle += startUnixMs - free;
      this.order[count] = row;
      this.start[count] = startUnixMs;
      this.ready[count] = readyMs;
      this.free[count] = freeUnixMs;
      this.idle[count] = idle;
      this.cost[count] = problem.cost(row, startUnixMs, readyMs, idle);
      this.after[count] = problem.pointing;
      free = freeUnixMs;
      count++;
    }
    this.count = count;
    let value = 0;
    for (let place = 0; place < count; place++)
      value += problem.worth[this.order[place]!]! - this.cost[place]!;
    this.value = value;
    return value;
  }

  /** Works out `slack` and `slope` for what was played last. @param pressing cost of a later end, per millisecond */
  takeStock(pressing: number): void {
    const { problem, count, start, ready, free, slack, slope } = this;
    slack[count] = Number.POSITIVE_INFINITY;
    slope[count] = pressing;
    for (let place = count - 1; place >= 0; place--) {
      const row = this.order[place]!;
      const gap = place + 1 < count ? start[place + 1]! - free[place]! : 0;
      const spare = problem.spareMs(row, start[place]!, ready[place]!);
      slack[place] = Math.min(spare, gap + slack[place + 1]!);
      slope[place] = this.slopeAt(place) + (gap > MINUTE ? 0 : slope[place + 1]!);
    }
  }

  /** The order with its waits and starts, to be played again. */
  copy(): { readonly rows: Int32Array; readonly starts: Float64Array; readonly value: number } {
    return {
      rows: this.order.slice(0, this.count),
      starts: this.start.slice(0, this.count),
      value: this.value,
    };
  }

  private slopeAt(place: number): number {
    const { problem, start, ready, idle } = this;
    const row = this.order[place]!;
    const later = problem.cost(row, start[place]! + MINUTE, ready[place]!, idle[place]!);
    return (later - this.cost[place]!) / MINUTE;
  }
}
