/** One decision's instant as an ordering rule sees it: which groups are open, how high they stand, who may be taken. */
import type { Millis, UtcMillis } from "../base/units.js";
import type { Site } from "../sky/site.js";
import { siderealRadians, sinAltitude, type Track } from "../sky/track.js";
import { lastClose, NONE, type QueueTable } from "./queue-table.js";
import type { WaitingLists } from "./waiting-lists.js";

/** How long the machines need until a request's exposures can begin. */
export interface ReadyTimes {
  /** Exactly, from where the machines stand, if they begin to move at `unixMs`. */
  readyMs(row: number, unixMs: UtcMillis): Millis;
  /** Never more than this, wherever they stand. */
  readonly longestReadyMs: Millis;
}

export class Moment {
  nowUnixMs: UtcMillis = Number.NEGATIVE_INFINITY;
  /** Groups with someone waiting whose window is open now, in order of tier; the first `openCount` count. */
  readonly open: Int32Array;
  openCount = 0;
  /** A row to leave out of account; NONE for nobody. */
  excluded = NONE;

  /** By group: the present window, or the next one. */
  private readonly opens: Float64Array;
  private readonly closes: Float64Array;
  private readonly windowIndex: Int32Array;
  private readonly lastClose: Float64Array;
  private readonly s0: Float64Array;
  private readonly s1: Float64Array;
  private readonly s2: Float64Array;
  /** Tracks of planets and the Moon; null where s0, s1, s2 say it all. */
  private readonly moving: readonly (Track | null)[];
  private cosTheta = 1;
  private sinTheta = 0;

  constructor(
    readonly table: QueueTable,
    readonly lists: WaitingLists,
    private readonly machines: ReadyTimes,
    private readonly site: Site,
    /** The night's end: every window is closed from then on. */
    private readonly untilUnixMs: UtcMillis,
  ) {
    const { groups } = table;
    this.open = new Int32Array(groups.length);
    this.opens = new Float64Array(groups.length);
    this.closes = new Float64Array(groups.length);
    this.windowIndex = new Int32Array(groups.length);
    this.lastClose = Float64Array.from(groups, (group) => Math.min(lastClose(group), untilUnixMs));
    this.s0 = Float64Array.from(groups, ({ night }) => night.track.s0);
    this.s1 = Float64Array.from(groups, ({ night }) => night.track.s1);
    this.s2 = Float64Array.from(groups, ({ night }) => night.track.s2);
    this.moving = groups.map(({ night }) => (night.track.nodes === null ? null : night.track));
    this.reset();
  }

  /** Back to the start of the night. */
  reset(): void {
    this.nowUnixMs = Number.NEGATIVE_INFINITY;
    this.windowIndex.fill(-1);
    this.closes.fill(Number.NEGATIVE_INFINITY);
    this.excluded = NONE;
  }

  /** Moves on to an instant, never back. */
  moveTo(unixMs: UtcMillis): void {
    const { lists, open, opens, closes } = this;
    this.nowUnixMs = unixMs;
    let count = 0;
    for (let index = 0; index < lists.activeCount; index++) {
      const group = lists.active[index]!;
      if (unixMs >= closes[group]!) this.nextWindow(group);
      if (unixMs >= opens[group]!) open[count++] = group;
    }
    this.openCount = count;
    this.excluded = NONE;
    const theta = siderealRadians(unixMs, this.site);
    this.cosTheta = Math.cos(theta);
    this.sinTheta = Math.sin(theta);
  }

  /** Sine of a group's true altitude now. */
  sinAltitude(group: number): number {
    const track = this.moving[group]!;
    if (track !== null) return sinAltitude(track, this.nowUnixMs, this.cosTheta, this.sinTheta);
    return this.s0[group]! + this.s1[group]! * this.cosTheta + this.s2[group]! * this.sinTheta;
  }

  /** When an open group's present window closes. */
  closeUnixMs(group: number): UtcMillis {
    return this.closes[group]!;
  }

  /** The first row of an open group, in order of asking, that may be taken now; NONE when there is none. */
  first(group: number): number {
    return this.after(group, NONE);
  }

  /**
   * The next such row behind `row`. Rows that can no longer end before their last window closes are
   * dropped on the way: they will never be taken.
   */
  after(group: number, row: number): number {
    const { next, head } = this.lists;
    let before = row;
    let each = row === NONE ? head[group]! : next[row]!;
    while (each !== NONE) {
      const after = next[each]!;
      if (each !== this.excluded && this.mayBeTaken(each, group)) return each;
      if (this.nowUnixMs + this.table.exposingMs[each]! > this.lastClose[group]!)
        this.lists.remove(each, before);
      else before = each;
      each = after;
    }
    return NONE;
  }

  /** The next instant after now at which a window opens or someone's "not before" passes; Infinity for never. */
  nextChange(): UtcMillis {
    const { lists, table, nowUnixMs } = this;
    let soonest = Number.POSITIVE_INFINITY;
    for (let index = 0; index < lists.activeCount; index++) {
      const group = lists.active[index]!;
      soonest = Math.min(soonest, this.nextOpening(group));
      for (let row = lists.head[group]!; row !== NONE; row = lists.next[row]!) {
        const notBefore = table.notBeforeUnixMs[row]!;
        if (notBefore > nowUnixMs && notBefore < soonest && notBefore < this.lastClose[group]!)
          soonest = notBefore;
      }
    }
    return Math.ceil(soonest);
  }

  /** "Not before" has passed, and the exposures would end before the window closes. */
  private mayBeTaken(row: number, group: number): boolean {
    if (this.table.notBeforeUnixMs[row]! > this.nowUnixMs) return false;
    const spare = this.closes[group]! - this.nowUnixMs - this.table.exposingMs[row]!;
    if (spare >= this.machines.longestReadyMs) return true;
    return spare >= 0 && this.machines.readyMs(row, this.nowUnixMs) <= spare;
  }

  /** Finds the window that contains now or is next to open. */
  private nextWindow(group: number): void {
    const { windows } = this.table.groups[group]!.night;
    let index = this.windowIndex[group]!;
    do index++;
    while (index < windows.length && windows[index]!.closeUnixMs <= this.nowUnixMs);
    this.windowIndex[group] = index;
    this.opens[group] = windows[index]?.openUnixMs ?? Number.POSITIVE_INFINITY;
    const closes = windows[index]?.closeUnixMs ?? Number.POSITIVE_INFINITY;
    this.closes[group] = Math.min(closes, this.untilUnixMs);
  }

  private nextOpening(group: number): UtcMillis {
    const opens = this.opens[group]!;
    if (opens > this.nowUnixMs) return opens;
    const { windows } = this.table.groups[group]!.night;
    return windows[this.windowIndex[group]! + 1]?.openUnixMs ?? Number.POSITIVE_INFINITY;
  }
}
