/** One tier's planning problem: when each request may start, how long the machines take for it, what that costs. */
import type { Millis, UtcMillis } from "../../base/units.js";
import type { ActionTimes, Pointing, Window } from "../../observatory/observatory.js";
import type { Site } from "../../sky/site.js";
import { SkyInstant } from "../../sky/sky-instant.js";
import type { Track } from "../../sky/track.js";
import { GroupSky } from "../group-sky.js";
import type { QueueTable } from "../queue-table.js";
import type { Request } from "../request.js";
import { airmassOfSine, DONE, FIXED, IDLE_PRICE, OVERDUE, reserveCost, WAIT_PRICE } from "./worth.js";

/** Mount, dome, wheel and shutter: where they stand, and how long the next action takes. */
export interface PlannerMachines {
  pointing: Pointing;
  times(track: Track, unixMs: UtcMillis, request: Request): ActionTimes;
  /** To where they stand when the action whose times were last asked for ends. */
  follow(track: Track, freeUnixMs: UtcMillis, request: Request): void;
}

/** What is to be planned. */
export interface PlannerTask {
  /** When the telescope is free for the first of them. */
  readonly fromUnixMs: UtcMillis;
  readonly untilUnixMs: UtcMillis;
  readonly site: Site;
  readonly table: QueueTable;
  readonly machines: PlannerMachines;
  /** So many rows of the table, the first, wait; others may come. */
  readonly waitingRows: number;
  /** By row: left out on so many nights that it must not be again. */
  readonly overdue: (row: number) => boolean;
}

/** Whoever has a turn that stays as it is may begin so much later, for the machines may come from elsewhere. */
const FIXED_WITHIN: Millis = 30_000;

export class Problem {
  /** What `begin` found: when the machines move, for how long, and when the telescope is free again. */
  startUnixMs: UtcMillis = 0;
  readyMs: Millis = 0;
  freeUnixMs: UtcMillis = 0;
  /** Actions asked for so far: the measure of work. */
  actions = 0;
  /** By row: not before, and no later than. */
  readonly earliest: Float64Array;
  readonly latest: Float64Array;
  /** By row: what it is worth to have it done. */
  readonly worth: Float64Array;
  /** By row: when it could begin if the telescope did nothing else. */
  private readonly ripe: Float64Array;
  private readonly sky: GroupSky;
  private readonly instant: SkyInstant;
  private readonly startPointing: Pointing;

  constructor(readonly task: PlannerTask) {
    const { table, machines, site } = task;
    this.sky = new GroupSky(table.groups);
    this.instant = new SkyInstant(site);
    this.startPointing = machines.pointing;
    this.earliest = new Float64Array(this.rows);
    this.latest = new Float64Array(this.rows);
    this.worth = new Float64Array(this.rows);
    this.free();
    this.ripe = this.earliest.map((unixMs, row) => this.opens(row, unixMs));
  }

  get rows(): number {
    return this.task.table.requests.length;
  }

  /** Where the machines stand. */
  get pointing(): Pointing {
    return this.task.machines.pointing;
  }

  /** Puts them where they stood. */
  stand(pointing: Pointing = this.startPointing): void {
    this.task.machines.pointing = pointing;
  }

  /** Nothing may move this turn any more. */
  fix(row: number, startUnixMs: UtcMillis): void {
    this.worth[row] = FIXED;
    this.earliest[row] = startUnixMs;
    this.latest[row] = startUnixMs + FIXED_WITHIN;
  }

  /** The same for two whose turns would be the same but for who asked. */
  kindOf(row: number): string {
    const { requests, group, exposingMs } = this.task.table;
    return [group[row], exposingMs[row], this.earliest[row], requests[row]!.filter].join();
  }

  /** All may move again. */
  free(): void {
    const { table, fromUnixMs, overdue } = this.task;
    for (let row = 0; row < this.rows; row++) {
      this.worth[row] = overdue(row) ? OVERDUE : DONE;
      this.earliest[row] = Math.max(fromUnixMs, Math.ceil(table.notBeforeUnixMs[row]!));
      this.latest[row] = Number.POSITIVE_INFINITY;
    }
  }

  isFixed(row: number): boolean {
    return this.latest[row]! < Number.POSITIVE_INFINITY;
  }

  /**
   * Takes a row as soon as it may be taken from an instant on; the machines stand where its action leaves them.
   * @returns false, and nothing has moved, when it cannot end in time any more
   */
  begin(row: number, fromUnixMs: UtcMillis): boolean {
    const { table, machines, untilUnixMs } = this.task;
    const request = table.requests[row]!;
    const { track, windows } = table.groups[table.group[row]!]!.night;
    const exposingMs = table.exposingMs[row]!;
    const from = Math.max(fromUnixMs, this.earliest[row]!);
    for (const { openUnixMs, closeUnixMs } of windows) {
      const close = Math.min(closeUnixMs, untilUnixMs);
      const start = Math.max(from, openUnixMs);
      if (start + exposingMs > close) continue;
      if (start > this.latest[row]!) return false;
      this.actions++;
      const { readyMs, totalMs } = machines.times(track, start, request);
      if (start + readyMs + exposingMs > close) continue;
      this.startUnixMs = start;
      this.readyMs = readyMs;
      this.freeUnixMs = start + totalMs;
      machines.follow(track, this.freeUnixMs, request);
      return true;
    }
    return false;
  }

  /** By how much a row that starts at an instant could start later and still end before the same window closes. */
  spareMs(row: number, startUnixMs: UtcMillis, readyMs: Millis): Millis {
    const closing = this.closing(row, startUnixMs) - startUnixMs - readyMs - this.task.table.exposingMs[row]!;
    return Math.min(closing, this.latest[row]! - startUnixMs);
  }

  /** When the window that is open at an instant opens and closes, or the night ends. */
  closing(row: number, unixMs: UtcMillis): UtcMillis {
    for (const { closeUnixMs } of this.windows(row))
      if (unixMs < closeUnixMs) return Math.min(closeUnixMs, this.task.untilUnixMs);
    return Number.NEGATIVE_INFINITY;
  }

  /** When the window that is open at an instant opened. */
  opening(row: number, unixMs: UtcMillis): UtcMillis {
    for (const { openUnixMs, closeUnixMs } of this.windows(row)) if (unixMs < closeUnixMs) return openUnixMs;
    return Number.NEGATIVE_INFINITY;
  }

  /** The first start from an instant on that leaves so much time before a window closes; Infinity for none. */
  startFrom(row: number, fromUnixMs: UtcMillis, lastsMs: Millis): UtcMillis {
    const from = Math.max(fromUnixMs, this.earliest[row]!);
    for (const { openUnixMs, closeUnixMs } of this.windows(row)) {
      const start = Math.max(from, openUnixMs);
      if (start + lastsMs <= Math.min(closeUnixMs, this.task.untilUnixMs)) return start;
    }
    return Number.POSITIVE_INFINITY;
  }

  /** The airmass of a row's target. */
  airmass(row: number, unixMs: UtcMillis): number {
    return airmassOfSine(this.sine(row, unixMs));
  }

  /** Sine of its true altitude. */
  sine(row: number, unixMs: UtcMillis): number {
    this.instant.moveTo(unixMs);
    return this.sky.sine(this.task.table.group[row]!, this.instant);
  }

  /** In airmasses. @param idleMs how long the telescope has stood idle before */
  cost(row: number, startUnixMs: UtcMillis, readyMs: Millis, idleMs: Millis): number {
    const { table, fromUnixMs } = this.task;
    const exposingUnixMs = startUnixMs + readyMs;
    const close = this.closing(row, startUnixMs);
    return (
      this.airmass(row, exposingUnixMs) +
      IDLE_PRICE * Math.min(idleMs, Math.max(0, startUnixMs - this.ripe[row]!)) +
      WAIT_PRICE * (startUnixMs - fromUnixMs) +
      reserveCost(close - exposingUnixMs - table.exposingMs[row]!, close - fromUnixMs)
    );
  }

  private windows(row: number): readonly Window[] {
    const { groups, group } = this.task.table;
    return groups[group[row]!]!.night.windows;
  }

  private opens(row: number, fromUnixMs: UtcMillis): UtcMillis {
    const window = this.windows(row).find(({ closeUnixMs }) => closeUnixMs > fromUnixMs);
    return Math.max(fromUnixMs, window?.openUnixMs ?? fromUnixMs);
  }
}
