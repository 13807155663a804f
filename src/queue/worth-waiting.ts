/**
 * Targets that stand lower than is worthwhile and will stand higher tonight are not taken yet, where nobody is kept
 * waiting by that.
 *
 * Whatever stands well goes before them. When nothing else can be taken the telescope stands idle for them, unless
 * that would hold up somebody: a request that could begin while they are made up for, or one of their own number that
 * would have stood high enough when its turn came.
 */
import {
  DEGREES_PER_RADIAN,
  type Degrees,
  type Millis,
  RADIANS_PER_DEGREE,
  type UtcMillis,
} from "../base/units.js";
import { SkyInstant } from "../sky/sky-instant.js";
import type { HeightWait, Moment } from "./moment.js";
import { NONE } from "./queue-table.js";
import { type RipeTimes, ripeFrom, ripeTimes } from "./ripe-times.js";

/** A request that waits for height: from when on, and for how long it then needs the telescope. */
interface Later {
  readonly fromUnixMs: UtcMillis;
  readonly needMs: Millis;
}

/** Has a moment's decisions wait for a true altitude; null for none. */
export function waitForHeight(moment: Moment, worthwhileDegrees: Degrees | null | undefined): void {
  moment.worth = worthwhileDegrees == null ? null : new WorthWaiting(moment, worthwhileDegrees);
}

class WorthWaiting implements HeightWait {
  /** By group: 1 for one that is passed over at the present decision. */
  private readonly passed: Uint8Array;
  private readonly ripe: (RipeTimes | undefined)[] = [];
  private readonly instant: SkyInstant;
  private readonly sine: number;
  private idleUntilUnixMs: UtcMillis = Number.POSITIVE_INFINITY;

  constructor(
    private readonly moment: Moment,
    private readonly worthwhileDegrees: Degrees,
  ) {
    this.passed = new Uint8Array(moment.table.groups.length);
    this.instant = new SkyInstant(moment.site);
    this.sine = Math.sin(worthwhileDegrees * RADIANS_PER_DEGREE);
  }

  passOver(): boolean {
    const { moment, passed } = this;
    this.forget();
    let any = false;
    for (let index = 0; index < moment.openCount; index++) {
      const group = moment.open[index]!;
      if (moment.sinAltitude(group) >= this.sine || moment.first(group) === NONE) continue;
      if (this.takeFrom(group) <= moment.nowUnixMs) continue;
      passed[group] = 1;
      any = true;
    }
    if (any) moment.leaveOut(passed);
    return any;
  }

  mayIdle(): boolean {
    const low = this.passedOver();
    let endUnixMs = Number.NEGATIVE_INFINITY;
    let beforeMs = 0;
    const blocks: { fromUnixMs: UtcMillis; endUnixMs: UtcMillis }[] = [];
    for (const { fromUnixMs, needMs } of low) {
      if (this.moment.nowUnixMs + beforeMs >= fromUnixMs) return false;
      this.idleUntilUnixMs = Math.min(this.idleUntilUnixMs, fromUnixMs - beforeMs);
      const startUnixMs = Math.max(fromUnixMs, endUnixMs);
      endUnixMs = startUnixMs + needMs;
      beforeMs += needMs;
      blocks.push({ fromUnixMs: startUnixMs, endUnixMs });
    }
    return !this.wouldHoldUp(blocks);
  }

  takeAll(): void {
    this.forget();
    this.moment.listOpen();
  }

  nextChange(): UtcMillis {
    return this.idleUntilUnixMs;
  }

  whyPassed(
    group: number,
  ): { altitudeDegrees: Degrees; worthwhileDegrees: Degrees; untilUnixMs: UtcMillis } | null {
    if (this.passed[group] === 0) return null;
    return {
      altitudeDegrees: Math.asin(this.moment.sinAltitude(group)) * DEGREES_PER_RADIAN,
      worthwhileDegrees: this.worthwhileDegrees,
      untilUnixMs: this.takeFrom(group),
    };
  }

  private forget(): void {
    this.passed.fill(0);
    this.idleUntilUnixMs = Number.POSITIVE_INFINITY;
  }

  /** Those that could be taken now, by when they stand well. */
  private passedOver(): Later[] {
    const { moment, passed } = this;
    const low: Later[] = [];
    for (let group = 0; group < passed.length; group++) {
      if (passed[group] === 0) continue;
      const fromUnixMs = this.takeFrom(group);
      for (let row = moment.first(group); row !== NONE; row = moment.after(group, row))
        low.push({ fromUnixMs, needMs: this.needMs(row) });
    }
    return low.sort((a, b) => a.fromUnixMs - b.fromUnixMs);
  }

  /** Whether somebody who does not wait for height could begin while one of them is under way. */
  private wouldHoldUp(blocks: readonly { fromUnixMs: UtcMillis; endUnixMs: UtcMillis }[]): boolean {
    const { lists, nowUnixMs, table, windows } = this.moment;
    for (let index = 0; index < lists.activeCount; index++) {
      const group = lists.active[index]!;
      const opensUnixMs = Math.max(windows.opens[group]!, nowUnixMs);
      for (let row = lists.head[group]!; row !== NONE; row = lists.next[row]!) {
        const fromUnixMs = Math.max(opensUnixMs, table.notBeforeUnixMs[row]!);
        if (fromUnixMs <= nowUnixMs || fromUnixMs + table.exposingMs[row]! > windows.lastClose[group]!)
          continue;
        const begins = (block: (typeof blocks)[number]): boolean =>
          block.fromUnixMs <= fromUnixMs && fromUnixMs < block.endUnixMs;
        if (blocks.some(begins) && this.takeFrom(group, fromUnixMs) <= fromUnixMs) return true;
      }
    }
    return false;
  }

  /** From when on a group stands well, or as well as leaves time to be done; `fromUnixMs` itself when it does now. */
  private takeFrom(group: number, fromUnixMs = this.moment.nowUnixMs): UtcMillis {
    const ripeUnixMs = ripeFrom(this.ripeOf(group), fromUnixMs);
    if (ripeUnixMs <= fromUnixMs) return fromUnixMs;
    const { lists, table } = this.moment;
    const { windows } = table.groups[group]!.night;
    const closeUnixMs = windows.find((each) => each.closeUnixMs >= ripeUnixMs)?.closeUnixMs ?? ripeUnixMs;
    let needMs = 0;
    for (let row = lists.head[group]!; row !== NONE; row = lists.next[row]!)
      needMs = Math.max(needMs, this.needMs(row));
    return Math.max(fromUnixMs, Math.min(ripeUnixMs, closeUnixMs - needMs));
  }

  private ripeOf(group: number): RipeTimes {
    const { instant, moment, sine } = this;
    this.ripe[group] ??= ripeTimes(moment.table.groups[group]!.night.windows, (unixMs) => {
      instant.moveTo(unixMs);
      return moment.sky.sine(group, instant) - sine;
    });
    return this.ripe[group];
  }

  /** From wherever the machines stand. */
  private needMs(row: number): Millis {
    const { durations, table } = this.moment;
    return durations.longestReadyMs + table.exposingMs[row]! + durations.handOverMs;
  }
}
