/**
 * What must be done before it sets: how long the telescope may be busy with something else before a request
 * is lost that would otherwise be done.
 *
 * The yardstick is the order of closing times: where any order loses nothing, this one does (earliest due date
 * first: J. R. Jackson 1955, Management Science Research Project, UCLA, report 43).
 */
import type { Millis } from "../base/units.js";
import type { Moment } from "./moment.js";
import { NONE } from "./queue-table.js";

export class ClosingTimes {
  /** Groups in the order in which their last windows close. */
  private readonly order: Int32Array;
  /** By group: how long an action of its may last without losing one of a group that closes before it. */
  private readonly spareMs: Float64Array;

  constructor(private readonly moment: Moment) {
    const { lastClose } = moment.windows;
    this.spareMs = new Float64Array(lastClose.length);
    this.order = Int32Array.from(lastClose.keys()).sort((a, b) => lastClose[a]! - lastClose[b]! || a - b);
  }

  /** Works a tier's requests off in order of closing and notes what time is to spare; lost ones are left out. */
  prepare(tier: number): void {
    const { lists, nowUnixMs, table, windows } = this.moment;
    let busyMs = 0;
    let spareMs = Number.POSITIVE_INFINITY;
    for (const group of this.order) {
      if (table.tier[group] !== tier) continue;
      this.spareMs[group] = spareMs;
      const leftMs = windows.lastClose[group]! - nowUnixMs;
      const busyBeforeMs = busyMs;
      for (let row = lists.head[group]!; row !== NONE; row = lists.next[row]!) {
        const needMs = this.needMs(row);
        if (busyMs + needMs <= leftMs) busyMs += needMs;
      }
      if (busyMs > busyBeforeMs) spareMs = Math.min(spareMs, leftMs - busyMs);
    }
  }

  /** Whether a row's turn now, which takes `takesMs`, would lose a request that closes before it. */
  wouldLose(row: number, takesMs: Millis): boolean {
    return takesMs > this.spareMs[this.moment.table.group[row]!]!;
  }

  /** From wherever the machines will stand: about half way between the shortest move and the longest. */
  private needMs(row: number): Millis {
    const { durations, table } = this.moment;
    const readyMs = (durations.shortestReadyMs + durations.longestReadyMs) / 2;
    return readyMs + table.exposingMs[row]! + durations.handOverMs;
  }
}
