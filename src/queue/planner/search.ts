/** Local search over orders: turns are moved, exchanged, dropped and taken in, as long as that makes the plan better. */
import { MINUTE, type Millis } from "../../base/units.js";
import { playWaiting } from "./place-waits.js";
import type { Problem } from "./problem.js";
import { Schedule } from "./schedule.js";

/** Airmasses per millisecond that an early end is worth while there are some left out. */
const PRESSING = 0.2 / MINUTE;
/** A gain smaller than this is none. */
const LEAST_GAIN = 1e-5;
/** Of those left out, so many are looked at, the shortest first, and so many tried. */
const MOST_LOOKED_AT = 300;
const MOST_TRIED = 4;
const LONGEST_SEGMENT = 3;
const FARTHEST = 8;
const FARTHEST_STRETCH = 3;

/** Orders with what is left out, made better by whole evaluations: for short ones, with waiting for height. */
export class WholeSearch {
  readonly schedule: Schedule;
  best: { readonly rows: Int32Array; readonly starts: Float64Array; readonly value: number };
  private readonly all: readonly number[];

  constructor(
    private readonly problem: Problem,
    rows: readonly number[],
  ) {
    this.schedule = new Schedule(problem);
    this.all = rows;
    this.schedule.play([]);
    this.best = this.schedule.copy();
  }

  /** Takes an order as a start, completed by those that it leaves out, each where it fits best. */
  begin(order: readonly number[]): Int32Array {
    this.evaluate(order);
    let rows: readonly number[] = [...this.schedule.order.slice(0, this.schedule.count)];
    for (const row of this.leftOut(rows)) rows = this.inserted(rows, row);
    return Int32Array.from(rows);
  }

  /** Goes on from an order until nothing makes it better or so many actions have been played. */
  improve(from: ArrayLike<number>, untilActions: number): void {
    let rows = Array.from(from);
    let value = this.evaluate(rows);
    for (let better = true; better; ) {
      better = false;
      for (const next of this.neighbours(rows)) {
        if (this.problem.actions > untilActions) return;
        const reached = this.evaluate(next);
        if (reached <= value + LEAST_GAIN) continue;
        value = reached;
        rows = [...this.schedule.order.slice(0, this.schedule.count)];
        better = true;
        break;
      }
    }
  }

  evaluate(rows: ArrayLike<number>): number {
    const value = playWaiting(this.schedule, rows);
    if (value > this.best.value) this.best = this.schedule.copy();
    return value;
  }

  private leftOut(rows: readonly number[]): number[] {
    const placed = new Set(rows);
    return this.all.filter((row) => !placed.has(row));
  }

  private inserted(rows: readonly number[], row: number): readonly number[] {
    let best = rows;
    let value = this.evaluate(rows);
    for (let place = 0; place <= rows.length; place++) {
      const tried = [...rows.slice(0, place), row, ...rows.slice(place)];
      const reached = this.evaluate(tried);
      if (reached <= value) continue;
      value = reached;
      best = [...this.schedule.order.slice(0, this.schedule.count)];
    }
    return best;
  }

  private *neighbours(rows: readonly number[]): Generator<number[]> {
    const { length } = rows;
    const left = this.leftOut(rows);
    for (const row of left)
      for (let place = 0; place <= length; place++) {
        yield [...rows.slice(0, place), row, ...rows.slice(place)];
        if (place < length) yield [...rows.slice(0, place), row, ...rows.slice(place + 1)];
      }
    for (let size = 1; size <= LONGEST_SEGMENT; size++)
      for (let from = 0; from + size <= length; from++) {
        const segment = rows.slice(from, from + size);
        const rest = [...rows.slice(0, from), ...rows.slice(from + size)];
        for (let to = Math.max(0, from - FARTHEST); to <= Math.min(rest.length, from + FARTHEST); to++) {
          if (to !== from) yield [...rest.slice(0, to), ...segment, ...rest.slice(to)];
          if (size > 1) yield [...rest.slice(0, to), ...segment.toReversed(), ...rest.slice(to)];
        }
      }
    for (let one = 0; one < length; one++)
      for (let two = one + 2; two < Math.min(length, one + FARTHEST); two++) {
        const next = [...rows];
        next[one] = rows[two]!;
        next[two] = rows[one]!;
        yield next;
      }
    if (left.length > 1)
      for (let place = 0; place < length; place++)
        for (const one of left)
          for (const two of left)
            if (one !== two) yield [...rows.slice(0, place), one, two, ...rows.slice(place + 1)];
  }
}

/** The same for long ones: only the stretch that a change touches is played, what is behind it moves along. */
export class StretchSearch {
  readonly schedule: Schedule;
  private readonly out: number[];
  private pressing = PRESSING;

  constructor(
    private readonly problem: Problem,
    rows: readonly number[],
    order: readonly number[],
  ) {
    this.schedule = new Schedule(problem);
    this.schedule.play(order);
    const placed = new Set(this.schedule.order.slice(0, this.schedule.count));
    const { exposingMs } = problem.task.table;
    this.out = rows
      .filter((row) => !placed.has(row))
      .sort((a, b) => exposingMs[a]! - exposingMs[b]! || a - b);
    this.takeStock();
  }

  /** One round: first for room, then for height. */
  round(untilActions: number): void {
    this.sweep(this.out.length > 0 ? PRESSING : 0, untilActions);
    if (this.pressing > 0) this.sweep(0, untilActions);
  }

  private sweep(pressing: number, untilActions: number): void {
    this.pressing = pressing;
    this.takeStock();
    for (let place = 0; place < this.schedule.count; place++) {
      if (this.problem.actions > untilActions) return;
      this.takeIn(place);
      this.exchange(place);
      this.move(place);
    }
    this.takeIn(this.schedule.count);
  }

  private takeStock(): void {
    this.schedule.takeStock(this.out.length > 0 ? this.pressing : 0);
  }

  /** Someone left out goes before a place. */
  private takeIn(place: number): void {
    const { schedule } = this;
    const most = schedule.slack[place]! + gapBefore(schedule, place);
    for (const row of this.promising(place, most))
      if (this.tried(place, place, [row])) {
        this.out.splice(this.out.indexOf(row), 1);
        this.takeStock();
        return;
      }
  }

  /** Someone left out goes instead of one who has a turn. */
  private exchange(place: number): void {
    const { schedule, problem } = this;
    if (place >= schedule.count) return;
    const { exposingMs } = problem.task.table;
    const row = schedule.order[place]!;
    if (problem.isFixed(row)) return;
    const dear =
      schedule.cost[place]! + (exposingMs[row]! + schedule.ready[place]! / 2) * this.timePrice(place);
    for (const other of this.promising(place, exposingMs[row]! + schedule.slack[place + 1]!, dear))
      if (this.tried(place, place + 1, [other])) {
        this.out.splice(this.out.indexOf(other), 1);
        this.putOut(row);
        this.takeStock();
        return;
      }
  }

  /**
   * The cheapest of those left out that could be taken about when a place begins, by a quick look, before the
   * machines are asked. @param mostMs the longest exposures that have room @param dear what is too dear
   */
  private promising(place: number, mostMs: Millis, dear = Number.POSITIVE_INFINITY): readonly number[] {
    const { schedule, problem, out } = this;
    const { count, start, free } = schedule;
    const { exposingMs } = problem.task.table;
    const unixMs = place < count ? start[place]! : count > 0 ? free[count - 1]! : problem.task.fromUnixMs;
    const price = this.timePrice(place);
    const found: { readonly row: number; readonly cost: number }[] = [];
    for (let index = 0; index < out.length && index < MOST_LOOKED_AT; index++) {
      const row = out[index]!;
      const lasts = exposingMs[row]!;
      if (lasts > mostMs || lasts * price + 1 > dear) break;
      const cost = lasts * price + problem.airmass(row, unixMs);
      if (cost >= dear || problem.startFrom(row, unixMs, lasts) > unixMs + MINUTE) continue;
      const last = found.at(-1);
      if (found.length === MOST_TRIED && last !== undefined && cost >= last.cost) continue;
      if (found.length === MOST_TRIED) found.pop();
      found.push({ row, cost });
      found.sort((a, b) => a.cost - b.cost);
    }
    return found.map(({ row }) => row);
  }

  /** What time costs from a place on, airmasses per millisecond. */
  private timePrice(place: number): number {
    return Math.max(0, this.schedule.slope[Math.min(place + 1, this.schedule.count)]!);
  }

  private putOut(row: number): void {
    const { exposingMs } = this.problem.task.table;
    const index = this.out.findIndex((each) => exposingMs[each]! >= exposingMs[row]!);
    this.out.splice(index < 0 ? this.out.length : index, 0, row);
  }

  /** One to three turns go elsewhere, also in the opposite order. */
  private move(place: number): void {
    const { schedule } = this;
    for (let size = 1; size <= LONGEST_SEGMENT && place + size <= schedule.count; size++) {
      for (let by = 1; by <= FARTHEST_STRETCH; by++) {
        if (place + size + by <= schedule.count && this.shifted(place, size, by)) return;
        if (place - by >= 0 && this.shifted(place, size, -by)) return;
      }
    }
  }

  private shifted(place: number, size: number, by: number): boolean {
    const { order } = this.schedule;
    const segment = Array.from(order.subarray(place, place + size));
    const from = Math.min(place, place + by);
    const to = Math.max(place + size, place + size + by);
    const others =
      by > 0 ? order.subarray(place + size, place + size + by) : order.subarray(place + by, place);
    const rest = Array.from(others);
    const join = (moved: number[]): number[] => (by > 0 ? [...rest, ...moved] : [...moved, ...rest]);
    if (this.tried(from, to, join(segment))) {
      this.takeStock();
      return true;
    }
    if (size > 1 && this.tried(from, to, join(segment.toReversed()))) {
      this.takeStock();
      return true;
    }
    return false;
  }

  /** Puts rows in the stead of those at `from` … `to − 1`, if that is better. */
  private tried(from: number, to: number, rows: readonly number[]): boolean {
    const { schedule, problem } = this;
    const { count, order } = schedule;
    let free = schedule.standBefore(from);
    let idle = from === 0 ? 0 : schedule.idle[from - 1]!;
    let gain = 0;
    const joinAt = Math.min(count, to + 1);
    for (let place = from; place < joinAt; place++) {
      gain += schedule.cost[place]!;
      if (place < to) gain -= problem.worth[order[place]!]!;
    }
    for (let index = 0; index < rows.length + joinAt - to; index++) {
      const row = index < rows.length ? rows[index]! : order[to + index - rows.length]!;
      if (!problem.begin(row, free)) return false;
      idle += problem.startUnixMs - free;
      free = problem.freeUnixMs;
      gain -= problem.cost(row, problem.startUnixMs, problem.readyMs, idle);
      if (index < rows.length) gain += problem.worth[row]!;
    }
    const later = free - (joinAt === 0 ? problem.task.fromUnixMs : schedule.free[joinAt - 1]!);
    const gap = joinAt < count ? schedule.start[joinAt]! - schedule.free[joinAt - 1]! : 0;
    const moves = joinAt < count && later > 0 ? Math.max(0, later - gap) : later;
    if (moves > schedule.slack[joinAt]!) return false;
    gain -= moves * (gap > MINUTE && later < 0 ? 0 : schedule.slope[joinAt]!);
    if (gain <= LEAST_GAIN) return false;
    return this.accepted(from, to, rows);
  }

  /** Played exactly; taken back when that turns out worse. */
  private accepted(from: number, to: number, rows: readonly number[]): boolean {
    const { schedule } = this;
    const before = Array.from(schedule.order.subarray(0, schedule.count));
    const worthBefore = this.pressed();
    const next = [...before.slice(0, from), ...rows, ...before.slice(to)];
    schedule.play(next, null, from);
    if (schedule.count === next.length && this.pressed() > worthBefore + LEAST_GAIN) return true;
    schedule.play(before, null, from);
    return false;
  }

  private pressed(): number {
    const { schedule } = this;
    const end = schedule.count === 0 ? 0 : schedule.free[schedule.count - 1]! - this.problem.task.fromUnixMs;
    return schedule.value - (this.out.length > 0 ? this.pressing : 0) * end;
  }
}

function gapBefore({ start, free, count }: Schedule, place: number): number {
  if (place >= count) return 0;
  return place === 0 ? 0 : start[place]! - free[place - 1]!;
}
