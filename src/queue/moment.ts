/** One decision's instant as an ordering rule sees it: which groups are open, how high they stand, who may be taken. */
import type { Millis, UtcMillis } from "../base/units.js";
import type { Site } from "../sky/site.js";
import { SkyInstant } from "../sky/sky-instant.js";
import type { Decider } from "./decider.js";
import { GroupSky } from "./group-sky.js";
import { GroupWindows } from "./group-windows.js";
import { Lead } from "./lead.js";
import type { Followed } from "./planner/followed.js";
import { NONE, type QueueTable } from "./queue-table.js";
import type { WaitingLists } from "./waiting-lists.js";

/** Why one that waits could not be taken. */
export type Hindrance = Extract<Decider, { by: "window" | "not-before" | "too-long" | "low" }>;

/** What the machines can say about the next action. */
export interface Durations {
  /** How long until a row's exposures could begin, if the machines began to move for it at `unixMs`. */
  readyMs(row: number, unixMs: UtcMillis): Millis;
  /** Never less, never more than these, wherever the machines stand. */
  readonly shortestReadyMs: Millis;
  readonly longestReadyMs: Millis;
  readonly handOverMs: Millis;
}

/** Who had better wait to stand higher (worth-waiting.ts). */
export interface HeightWait {
  /** Takes the groups that had better wait out of those that are open; @returns whether there are any. */
  passOver(): boolean;
  /** Whether the telescope may stand idle for those that are passed over, nothing else being there to take. */
  mayIdle(): boolean;
  /** Passes nobody over: all that are open may be taken. */
  takeAll(): void;
  /** Until when the telescope stands idle by the present decision; Infinity when it doesn't. */
  nextChange(): UtcMillis;
  /** How low a group stands and until when it waits; null for one that is not passed over now. */
  whyPassed(group: number): Omit<Extract<Decider, { by: "low" }>, "by"> | null;
}

export class Moment {
  nowUnixMs: UtcMillis = Number.NEGATIVE_INFINITY;
  /** Counts the decisions, so that what was worked out for one is not taken for another's. */
  decision = 0;
  /** Groups with someone waiting whose window is open now, in order of tier; the first `openCount` count. */
  readonly open: Int32Array;
  openCount = 0;
  /** By place in `open`: where the groups of the same tier end. */
  readonly tierEnd: Int32Array;
  /** A row to leave out of account; NONE for nobody. */
  excluded = NONE;
  readonly windows: GroupWindows;
  readonly sky: GroupSky;
  private readonly now: SkyInstant;
  private openUntilUnixMs: UtcMillis = Number.NEGATIVE_INFINITY;
  private additionsSeen = -1;
  private activeSeen = -1;
  /** Number of the present list of open groups; one that is exhausted leaves the list without a new number. */
  openList = 0;
  /** For rules that go by altitude. */
  readonly lead: Lead;
  /** Null where every altitude that the limits allow is good enough. */
  worth: HeightWait | null = null;
  /** For the rule that goes by a plan; null under the others. */
  course: Followed | null = null;

  constructor(
    readonly table: QueueTable,
    readonly lists: WaitingLists,
    readonly durations: Durations,
    readonly site: Site,
    untilUnixMs: UtcMillis,
  ) {
    this.open = new Int32Array(table.groups.length);
    this.tierEnd = new Int32Array(table.groups.length);
    this.windows = new GroupWindows(table.groups, untilUnixMs);
    this.sky = new GroupSky(table.groups);
    this.now = new SkyInstant(site);
    this.lead = new Lead(site);
  }

  /** Back to the start of the night. */
  reset(): void {
    this.windows.reset();
    this.course?.reset();
    this.openUntilUnixMs = Number.NEGATIVE_INFINITY;
  }

  /** Moves on to an instant, never back. */
  moveTo(unixMs: UtcMillis): void {
    this.nowUnixMs = unixMs;
    this.decision++;
    this.excluded = NONE;
    this.now.moveTo(unixMs);
    const { lists } = this;
    const isNew = unixMs >= this.openUntilUnixMs || lists.additions !== this.additionsSeen;
    // Of those that are open, some may have been left out.
    if (isNew || this.worth !== null) this.listOpen();
    else if (lists.activeCount !== this.activeSeen) this.dropExhausted();
  }

  /** Sine of a group's true altitude now. */
  sinAltitude(group: number): number {
    return this.sky.sine(group, this.now);
  }

  /** When an open group's present window closes. */
  closeUnixMs(group: number): UtcMillis {
    return this.windows.closes[group]!;
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
      if (this.isLost(each, group)) this.lists.remove(each, before);
      else before = each;
      each = after;
    }
    return NONE;
  }

  /** Whether a row cannot end any more before its group's last window closes. */
  isLost(row: number, group: number): boolean {
    return this.nowUnixMs + this.table.exposingMs[row]! > this.windows.lastClose[group]!;
  }

  /** Whether a row that waits may be taken now. */
  mayTake(row: number): boolean {
    const group = this.table.group[row]!;
    if (!this.windows.moveTo(group, this.nowUnixMs) || !this.mayBeTaken(row, group)) return false;
    return this.worth === null || this.worth.whyPassed(group) === null;
  }

  /** For one that may not be taken now: when its window opens and its "not before" is past; Infinity for never. */
  mayTakeFrom(row: number): UtcMillis {
    const { nowUnixMs, table, windows } = this;
    const group = table.group[row]!;
    const notBeforeUnixMs = Math.ceil(table.notBeforeUnixMs[row]!);
    const open = windows.moveTo(group, nowUnixMs);
    if (open && notBeforeUnixMs > nowUnixMs) return notBeforeUnixMs;
    return Math.max(notBeforeUnixMs, windows.nextOpening(group, nowUnixMs));
  }

  /** Why a row that waits may not be taken now, of several reasons the one that lasts longest; null when it may. */
  hindrance(row: number): Hindrance | null {
    const { nowUnixMs, table, windows } = this;
    const group = table.group[row]!;
    const notBeforeUnixMs = table.notBeforeUnixMs[row]!;
    if (windows.moveTo(group, nowUnixMs)) {
      if (!this.fits(row, group)) return { by: "too-long", closeUnixMs: windows.closes[group]! };
    } else {
      const opensUnixMs = windows.nextOpening(group, nowUnixMs);
      if (opensUnixMs > notBeforeUnixMs)
        return { by: "window", opensUnixMs: Number.isFinite(opensUnixMs) ? opensUnixMs : null };
    }
    if (notBeforeUnixMs > nowUnixMs) return { by: "not-before", otherNotBeforeUnixMs: notBeforeUnixMs };
    const low = this.worth?.whyPassed(group) ?? null;
    return low && { by: "low", ...low };
  }

  /** The next instant at which a window opens, a "not before" passes or idling for height ends; Infinity for never. */
  nextChange(): UtcMillis {
    const { lists, table, windows, nowUnixMs } = this;
    const waiting = this.worth?.nextChange() ?? Number.POSITIVE_INFINITY;
    let soonest = Math.min(waiting, this.course?.nextChange() ?? Number.POSITIVE_INFINITY);
    for (let index = 0; index < lists.activeCount; index++) {
      const group = lists.active[index]!;
      soonest = Math.min(soonest, windows.nextOpening(group, nowUnixMs));
      for (let row = lists.head[group]!; row !== NONE; row = lists.next[row]!) {
        const notBefore = table.notBeforeUnixMs[row]!;
        if (notBefore > nowUnixMs && notBefore < windows.lastClose[group]!)
          soonest = Math.min(soonest, notBefore);
      }
    }
    return Math.ceil(soonest);
  }

  /** Whether a group is exhausted once the excluded row is taken. */
  isLastOf(group: number): boolean {
    const { lists, excluded } = this;
    return excluded !== NONE && lists.head[group] === excluded && lists.next[excluded] === NONE;
  }

  /** Takes groups out of the list of those that are open, for this decision. @param out by group: 1 for those */
  leaveOut(out: Uint8Array): void {
    const { open, openCount } = this;
    let count = 0;
    for (let index = 0; index < openCount; index++) {
      const group = open[index]!;
      if (out[group] === 0) open[count++] = group;
    }
    this.keepOpen(count);
    this.openList++;
  }

  /** Lists the open groups; the list holds until the next window opens or closes or a group is added. */
  listOpen(): void {
    const { lists, nowUnixMs, open, windows } = this;
    let count = 0;
    let until = Number.POSITIVE_INFINITY;
    for (let index = 0; index < lists.activeCount; index++) {
      const group = lists.active[index]!;
      if (windows.moveTo(group, nowUnixMs)) open[count++] = group;
      until = Math.min(until, windows.nextTurn(group, nowUnixMs));
    }
    this.keepOpen(count);
    this.openUntilUnixMs = until;
    this.additionsSeen = lists.additions;
    this.openList++;
  }

  private dropExhausted(): void {
    const { lists, open, openCount } = this;
    let count = 0;
    for (let index = 0; index < openCount; index++) {
      const group = open[index]!;
      if (lists.head[group] !== NONE) open[count++] = group;
    }
    this.keepOpen(count);
  }

  /** The first `count` entries of `open` are the list. */
  private keepOpen(count: number): void {
    this.openCount = count;
    this.activeSeen = this.lists.activeCount;
    this.findTierEnds();
  }

  private findTierEnds(): void {
    const { open, openCount, table, tierEnd } = this;
    let end = openCount;
    for (let index = openCount - 1; index >= 0; index--) {
      tierEnd[index] = end;
      const starts = index === 0 || table.tier[open[index - 1]!] !== table.tier[open[index]!];
      if (starts) end = index;
    }
  }

  /** "Not before" has passed, and the exposures would end before the window closes. */
  private mayBeTaken(row: number, group: number): boolean {
    return this.table.notBeforeUnixMs[row]! <= this.nowUnixMs && this.fits(row, group);
  }

  /** For an open group: whether the exposures would end before its window closes. */
  private fits(row: number, group: number): boolean {
    const { table, windows, durations, nowUnixMs } = this;
    const spareMs = windows.closes[group]! - nowUnixMs - table.exposingMs[row]!;
    if (spareMs >= durations.longestReadyMs) return true;
    return spareMs >= 0 && durations.readyMs(row, nowUnixMs) <= spareMs;
  }
}
