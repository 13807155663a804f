/**
 * A plan being followed through a night: whoever comes first in it and may be taken goes first. Meanwhile it is
 * mended as cheaply as can be: newcomers are put where they stand best and hold nobody up too long; when things run
 * late, the longest turn before the first one that would be missed is dropped (Moore 1968, Management Science 15,
 * 102); what is left out goes where time is left over.
 */
import type { Millis, UtcMillis } from "../../base/units.js";
import { SkyInstant } from "../../sky/sky-instant.js";
import type { Moment } from "../moment.js";
import { NONE } from "../queue-table.js";
import type { Followed } from "./followed.js";
import type { Plan } from "./plan.js";
import { planQueue } from "./plan-queue.js";
import type { Problem } from "./problem.js";
import { Schedule } from "./schedule.js";
import { airmassOfSine } from "./worth.js";

/** Places looked at for a newcomer, at most. */
const LOOKS = 24;
/** The sky is looked up in steps of so long. */
const SKY_STEP: Millis = 300_000;

/** Between the shortest move and the longest. */
const USUAL_SHARE = 0.1;
/** So many newcomers are put in one by one; with more, all is arranged anew. */
const MOST_NEWCOMERS = 40;

export class Course implements Followed {
  /** By place; the first `count` count. */
  private readonly order: Int32Array;
  /** Not before; −Infinity for one who does not wait for height. */
  private readonly from: Float64Array;
  /** When it may begin at the earliest, and must at the latest, and how long it takes. */
  private readonly opens: Float64Array;
  private readonly latest: Float64Array;
  private readonly lasts: Float64Array;
  /** When it is expected to begin, and how much later it could without anything being lost. */
  private readonly start: Float64Array;
  private readonly slack: Float64Array;
  private count = 0;
  /** Places before it are over. */
  private head = 0;
  private readonly left: Int32Array;
  private leftCount = 0;
  /** All that is kept by place. */
  private readonly columns: readonly (Int32Array | Float64Array)[];
  private readonly kept: {
    readonly columns: readonly (Int32Array | Float64Array)[];
    readonly left: Int32Array;
  };
  private readonly instants: readonly SkyInstant[];
  private readonly usualReadyMs: Millis;

  /**
   * Newcomers, whom the plan does not know, are put in; those who no longer wait are passed over.
   * @param adapts to what comes early or late, for want of a new plan: in a future that is only imagined
   */
  constructor(
    private readonly moment: Moment,
    private readonly problem: Problem,
    plan: Plan,
    private readonly adapts: boolean,
  ) {
    const { waitingRows } = problem.task;
    const rows = moment.table.requests.length;
    const column = (): Float64Array => new Float64Array(rows);
    this.order = new Int32Array(rows);
    this.left = new Int32Array(rows);
    [this.from, this.opens, this.latest, this.lasts] = [column(), column(), column(), column()];
    [this.start, this.slack] = [column(), column()];
    this.columns = [this.order, this.from, this.opens, this.latest, this.lasts, this.start, this.slack];
    const { fromUnixMs, untilUnixMs, site } = problem.task;
    this.instants = Array.from(
      { length: Math.ceil((untilUnixMs - fromUnixMs) / SKY_STEP) + 2 },
      (_, step) => {
        const instant = new SkyInstant(site);
        instant.moveTo(fromUnixMs + step * SKY_STEP);
        return instant;
      },
    );
    const { shortestReadyMs, longestReadyMs } = moment.durations;
    this.usualReadyMs = Math.round(shortestReadyMs + USUAL_SHARE * (longestReadyMs - shortestReadyMs));
    this.begin(plan, waitingRows);
    this.kept = {
      columns: this.columns.map((each) => each.slice(0, this.count)),
      left: this.left.slice(0, this.leftCount),
    };
  }

  reset(): void {
    const { columns, left } = this.kept;
    for (let index = 0; index < columns.length; index++) this.columns[index]!.set(columns[index]!);
    this.left.set(left);
    this.count = columns[0]!.length;
    this.leftCount = left.length;
    this.head = 0;
  }

  plan(): Plan {
    const number = (row: number): number => this.moment.table.requests[row]!.number;
    const order = Array.from(this.order.subarray(this.head, this.count), number);
    const waits = order.flatMap((each, index) => {
      const from = this.from[this.head + index]!;
      return from > this.moment.nowUnixMs ? [[each, from] as const] : [];
    });
    return { order, waits, left: Array.from(this.left.subarray(0, this.leftCount), number) };
  }

  next(): number {
    const { moment, order, from } = this;
    const { nowUnixMs, excluded, lists } = moment;
    for (let index = 0; index < lists.newcomers.length; index++) this.put(lists.newcomers[index]!, nowUnixMs);
    lists.newcomers.length = 0;
    let limit = Number.POSITIVE_INFINITY;
    for (let place = this.head; place < this.count; place++) {
      const row = order[place]!;
      if (lists.waits[row] === 0) {
        if (place === this.head) this.head++;
        continue;
      }
      if (row === excluded) continue;
      if (from[place]! > nowUnixMs) {
        limit = from[place]!;
        break;
      }
      if (!moment.mayTake(row)) {
        if (moment.isLost(row, moment.table.group[row]!)) lists.remove(row);
        limit = moment.mayTakeFrom(row);
        // Those behind it are there for a reason, too: only who is left out goes meanwhile.
        if (limit < Number.POSITIVE_INFINITY) break;
        continue;
      }
      if (!this.adapts || excluded !== NONE) return row;
      if (nowUnixMs - this.start[place]! > this.slack[place]!) {
        this.relieve(place);
        if (order[place] !== row || place >= this.count) {
          place--;
          continue;
        }
        return row;
      }
      const early = this.start[place]! - nowUnixMs;
      const filler = early > 0 && this.leftCount > 0 ? this.filler(nowUnixMs + early) : NONE;
      return filler === NONE ? row : filler;
    }
    return this.filler(limit);
  }

  nextChange(): UtcMillis {
    const { nowUnixMs, lists } = this.moment;
    for (let place = this.head; place < this.count; place++)
      if (this.from[place]! > nowUnixMs && lists.waits[this.order[place]!] === 1) return this.from[place]!;
    return Number.POSITIVE_INFINITY;
  }

  expectedUnixMs(row: number): UtcMillis | null {
    for (let place = this.head; place < this.count; place++)
      if (this.order[place] === row) return Math.max(this.start[place]!, this.moment.nowUnixMs);
    return null;
  }

  alike(row: number, other: number): boolean {
    return this.problem.kindOf(row) === this.problem.kindOf(other);
  }

  sineAt(row: number, unixMs: UtcMillis): number {
    return this.problem.sine(row, unixMs);
  }

  airmassAt(row: number, unixMs: UtcMillis): number {
    return this.problem.airmass(row, unixMs);
  }

  waitsUntil(row: number): UtcMillis | null {
    for (let place = this.head; place < this.count; place++)
      if (this.order[place] === row)
        return this.from[place]! > this.moment.nowUnixMs ? this.from[place]! : null;
    return null;
  }

  /** Plays the plan, puts newcomers in and the rest aside. */
  private begin({ order, waits, left }: Plan, waitingRows: number): void {
    const { table } = this.moment;
    const { problem } = this;
    const rowOf = new Map(table.requests.slice(0, waitingRows).map(({ number }, row) => [number, row]));
    const known = order.length + left.length;
    if (waitingRows - known > MOST_NEWCOMERS) {
      this.begin(planQueue(problem, { rounds: 0 }), waitingRows);
      return;
    }
    const fromOf = new Map(waits);
    const rows: number[] = [];
    const from: number[] = [];
    for (const number of order) {
      const row = rowOf.get(number);
      if (row === undefined) continue;
      rows.push(row);
      from.push(fromOf.get(number) ?? Number.NEGATIVE_INFINITY);
      rowOf.delete(number);
    }
    const schedule = new Schedule(problem);
    schedule.play(rows, from);
    const fromByRow = new Map(rows.map((row, index) => [row, from[index]!]));
    const placed = new Set<number>();
    for (let place = 0; place < schedule.count; place++) {
      const row = schedule.order[place]!;
      const start = schedule.start[place]!;
      placed.add(row);
      this.order[place] = row;
      this.from[place] = fromByRow.get(row)!;
      this.opens[place] = Math.max(problem.earliest[row]!, problem.opening(row, start), this.from[place]!);
      this.latest[place] = start + problem.spareMs(row, start, schedule.ready[place]!);
      this.lasts[place] = schedule.free[place]! - start;
    }
    this.count = schedule.count;
    this.retime(0, problem.task.fromUnixMs);
    for (const row of rows) if (!placed.has(row)) this.left[this.leftCount++] = row;
    for (const number of left) {
      const row = rowOf.get(number);
      if (row === undefined) continue;
      this.left[this.leftCount++] = row;
      rowOf.delete(number);
    }
    for (const row of rowOf.values()) this.put(row, problem.task.fromUnixMs);
  }

  /** Finds a place for a newcomer. */
  private put(row: number, nowUnixMs: UtcMillis): void {
    const lasts = this.usualMs(row);
    this.takeOut(row);
    const first = Math.max(this.head, 0);
    const stride = Math.max(1, Math.ceil((this.count - first + 1) / LOOKS));
    let best = NONE;
    let bestStart = 0;
    let least = Number.POSITIVE_INFINITY;
    let crowded = NONE;
    let crowdedStart = 0;
    let crowdedLeast = Number.POSITIVE_INFINITY;
    for (let place = this.count; place >= first; place -= stride) {
      const free =
        place === first ? nowUnixMs : Math.max(nowUnixMs, this.start[place - 1]! + this.lasts[place - 1]!);
      const start = this.problem.startFrom(row, free, lasts);
      if (start === Number.POSITIVE_INFINITY) continue;
      const cost = this.airmass(row, start);
      const later = place < this.count ? start + lasts - this.start[place]! : 0;
      if (place === this.count || later <= this.slack[place]!) {
        if (cost < least) [best, bestStart, least] = [place, start, cost];
      } else if (cost < crowdedLeast) [crowded, crowdedStart, crowdedLeast] = [place, start, cost];
    }
    if (best !== NONE) this.insert(row, best, bestStart, lasts, nowUnixMs);
    else if (crowded !== NONE && this.longestBehind(crowded) > lasts) {
      this.insert(row, crowded, crowdedStart, lasts, nowUnixMs);
      this.relieveFrom(this.head);
    } else this.left[this.leftCount++] = row;
  }

  /** Whoever has been taken and waits again is looked at afresh; what is over makes room. */
  private takeOut(row: number): void {
    const place = this.order.subarray(this.head, this.count).indexOf(row);
    if (place >= 0) this.close(this.head + place, 1);
    const index = this.left.subarray(0, this.leftCount).indexOf(row);
    if (index >= 0) this.left.copyWithin(index, index + 1, this.leftCount--);
    if (this.count < this.order.length) return;
    this.close(0, this.head);
    this.head = 0;
  }

  /** Takes places out. */
  private close(place: number, places: number): void {
    for (const column of this.columns) column.copyWithin(place, place + places, this.count);
    this.count -= places;
  }

  private insert(row: number, place: number, start: UtcMillis, lasts: Millis, nowUnixMs: UtcMillis): void {
    for (const column of this.columns) column.copyWithin(place + 1, place, this.count);
    this.count++;
    this.order[place] = row;
    this.from[place] = Number.NEGATIVE_INFINITY;
    this.opens[place] = Math.max(this.problem.earliest[row]!, this.problem.opening(row, start));
    this.latest[place] = start + this.problem.spareMs(row, start, lasts - this.moment.table.exposingMs[row]!);
    this.lasts[place] = lasts;
    this.retime(this.head, nowUnixMs);
  }

  private longestBehind(place: number): Millis {
    let longest = 0;
    for (let each = place; each < this.count; each++) longest = Math.max(longest, this.lasts[each]!);
    return longest;
  }

  /** Things run late: something must go. */
  private relieve(place: number): void {
    this.retime(place, this.moment.nowUnixMs);
    this.relieveFrom(place);
  }

  private relieveFrom(place: number): void {
    while (place < this.count && this.slack[place]! < 0) this.dropLongest(place);
  }

  /** Of those from a place to the first that would be missed, the longest of the last tier among them. */
  private dropLongest(place: number): void {
    const { tier, group } = this.moment.table;
    let missed = place;
    while (missed < this.count - 1 && this.latest[missed]! >= this.start[missed]!) missed++;
    let drop = missed;
    for (let each = place; each < missed; each++) {
      const one = tier[group[this.order[each]!]!]!;
      const two = tier[group[this.order[drop]!]!]!;
      const lighter = this.problem.worth[this.order[each]!]! <= this.problem.worth[this.order[drop]!]!;
      if (one > two || (one === two && lighter && this.lasts[each]! > this.lasts[drop]!)) drop = each;
    }
    this.left[this.leftCount++] = this.order[drop]!;
    this.close(drop, 1);
    this.retime(place, this.moment.nowUnixMs);
  }

  /** When each begins from a place on, if the telescope is free for it at an instant, and how late it may be. */
  private retime(place: number, freeUnixMs: UtcMillis): void {
    const { order, start, slack, opens, latest, lasts, count } = this;
    const { waits } = this.moment.lists;
    let free = freeUnixMs;
    for (let each = place; each < count; each++) {
      // Whoever has gone meanwhile takes no time, and is passed over when its turn comes.
      if (waits[order[each]!] === 0) {
        start[each] = free;
        continue;
      }
      start[each] = Math.max(free, opens[each]!);
      free = start[each]! + lasts[each]!;
    }
    let spare = Number.POSITIVE_INFINITY;
    for (let each = count - 1; each >= place; each--) {
      const gone = waits[order[each]!] === 0;
      const end = gone ? start[each]! : start[each]! + lasts[each]!;
      spare += each + 1 < count ? start[each + 1]! - end : 0;
      if (!gone) spare = Math.min(spare, latest[each]! - start[each]!);
      slack[each] = spare;
    }
  }

  /** The highest of those left out that may be taken now and are done by an instant; a smaller tier first. */
  private filler(limitUnixMs: UtcMillis): number {
    const { moment, left } = this;
    const { tier, group } = moment.table;
    let best = NONE;
    let bestSine = Number.NEGATIVE_INFINITY;
    let kept = 0;
    for (let index = 0; index < this.leftCount; index++) {
      const row = left[index]!;
      if (moment.lists.waits[row] === 0) continue;
      left[kept++] = row;
      if (row === moment.excluded || !moment.mayTake(row)) continue;
      if (moment.nowUnixMs + this.usualMs(row) > limitUnixMs) continue;
      const sine = moment.sinAltitude(group[row]!);
      const before = best === NONE ? 1 : tier[group[best]!]! - tier[group[row]!]!;
      if (before < 0 || (before === 0 && (sine < bestSine || (sine === bestSine && row > best)))) continue;
      best = row;
      bestSine = sine;
    }
    this.leftCount = kept;
    return best;
  }

  /** What a turn takes on the whole, wherever the machines stand. */
  private usualMs(row: number): Millis {
    return this.usualReadyMs + this.moment.table.exposingMs[row]! + this.moment.durations.handOverMs;
  }

  private airmass(row: number, unixMs: UtcMillis): number {
    const step = Math.round((unixMs - this.problem.task.fromUnixMs) / SKY_STEP);
    const instant = this.instants[Math.max(0, Math.min(this.instants.length - 1, step))]!;
    return airmassOfSine(this.moment.sky.sine(this.moment.table.group[row]!, instant));
  }
}
