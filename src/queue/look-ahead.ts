/**
 * What it would cost to put a request off, in airmasses: the look-ahead behind the rule `planned`.
 *
 * It depends on the moment alone (what waits, how long it takes, how the sky will turn), never on how the
 * moment was reached. The method is our own; its constants were tuned on seeded nights of six seasons at
 * four latitudes, from half full to four times overfull, with all requests made before dusk and with most of
 * them made in class.
 */
import { HOUR, MINUTE, type Millis } from "../base/units.js";
import { SkyInstant } from "../sky/sky-instant.js";
import { bestOfNight } from "./best-of-night.js";
import { ClosingTimes } from "./closing-times.js";
import type { Moment } from "./moment.js";
import { NONE } from "./queue-table.js";

/** How long a request put off would wait, in expected delays, and how likely: about exponential. */
const DELAYS = [0.25, 1, 2.2, 4.5] as const;
const CHANCES = [0.42, 0.36, 0.18, 0.04] as const;
/** The expected delay is this share of the tier's backlog, at most an hour. */
const DELAY_SHARE = 0.25;
const LONGEST_DELAY: Millis = HOUR;
/** No request is worth more airmass than this, that of an altitude of 23.5°: below it, a setting target is let go. */
const LARGEST_WORTH = 2.5;
/** The worth beyond airmass 1, from that of the last request that fits. */
const WORTH_STRETCH = 1.8;
const WORTH_MARGIN = 0.025;
/** Price of a mean action's time, as a share of the worth beyond airmass 1. */
const TIME_SHARE = 0.06;
/** Low targets count so much more against themselves: requests still to come will use the time better. */
const LOWNESS = 0.6;
/** There is time to spare when the tier's backlog would fit so many times into the time left. */
const TO_SPARE = 2.5;
/** Airmasses that losing another's turn then costs: more than any gain. */
const PENALTY = 5;
/** Steps in which the backlog is counted by airmass, finer near the zenith: 1.014 to 3.2. */
const LEVELS = Float64Array.from({ length: 16 }, (_, step) => 1 + 0.014 * 1.4 ** step);

const made = new WeakMap<Moment, LookAhead>();

export class LookAhead {
  /** An airmass that is no longer worth the time tonight; what a lost request counts as. */
  private worth = LARGEST_WORTH;
  /** Airmasses per millisecond of telescope time. */
  private price = 0;
  private timeToSpare = false;
  private decision = -1;
  private tier = Number.NaN;
  private readonly later: readonly SkyInstant[];
  /** By group: the shortest action that waits. */
  private readonly leastMs: Float64Array;
  private readonly backlogMs = new Float64Array(LEVELS.length);
  private readonly closing: ClosingTimes;
  private best: ReturnType<typeof bestOfNight> | null = null;

  private constructor(private readonly moment: Moment) {
    this.leastMs = new Float64Array(moment.table.groups.length);
    this.closing = new ClosingTimes(moment);
    this.later = DELAYS.map(() => new SkyInstant(moment.site));
  }

  /** The one that belongs to a moment, made at the first asking: its numbers have room to be worked out in. */
  static of(moment: Moment): LookAhead {
    const known = made.get(moment);
    if (known !== undefined) return known;
    const lookAhead = new LookAhead(moment);
    made.set(moment, lookAhead);
    return lookAhead;
  }

  /** Takes stock of a tier's backlog; once for each decision, however often it is asked. */
  prepare(tier: number): void {
    if (this.decision === this.moment.decision && this.tier === tier) return;
    this.decision = this.moment.decision;
    this.tier = tier;
    this.takeStock();
  }

  /**
   * How much airmass is gained by observing a group now rather than later: the mean over the likely
   * delays, where a closed window counts as the worth, less the airmass now (which weighs a little more).
   */
  gain(group: number): number {
    const { sky, windows } = this.moment;
    let later = 0;
    for (let index = 0; index < DELAYS.length; index++) {
      const instant = this.later[index]!;
      const open = windows.contains(group, instant.unixMs);
      const airmass = open ? Math.min(this.worth, roughAirmass(sky.sine(group, instant))) : this.worth;
      later += CHANCES[index]! * airmass;
    }
    return later - (1 + LOWNESS) * roughAirmass(this.moment.sinAltitude(group));
  }

  /** What the gain is made of: the airmass lost by waiting, less what a low target counts against itself now. */
  partsOfGain(group: number): { readonly loss: number; readonly lowness: number } {
    const lowness = LOWNESS * roughAirmass(this.moment.sinAltitude(group));
    return { loss: this.gain(group) + lowness, lowness };
  }

  /** The least that any row of a group can cost. */
  leastCost(group: number): number {
    return this.price * this.leastMs[group]!;
  }

  /** What a row's time costs when the machines need `readyMs` for it. */
  cost(row: number, readyMs: Millis): number {
    return this.costOf(this.takesMs(row, readyMs));
  }

  /** The price of a stretch of the telescope's time. */
  costOf(takesMs: Millis): number {
    return this.price * takesMs;
  }

  /**
   * With time to spare, what it costs that while a row takes its time the last window of another closes that
   * could have been served. On a fuller night the low ones make room for others, those still to come included.
   */
  penalty(row: number, takesMs: Millis): number {
    return this.timeToSpare && this.closing.wouldLose(row, takesMs) ? PENALTY : 0;
  }

  /** A row's time on the telescope when the machines need `readyMs` for it. */
  takesMs(row: number, readyMs: Millis): Millis {
    const { durations, table } = this.moment;
    return readyMs + table.exposingMs[row]! + durations.handOverMs;
  }

  private takeStock(): void {
    const { lists, nowUnixMs, table, windows } = this.moment;
    let totalMs = 0;
    let rows = 0;
    let endUnixMs = nowUnixMs;
    this.backlogMs.fill(0);
    for (let index = 0; index < lists.activeCount; index++) {
      const group = lists.active[index]!;
      if (table.tier[group] !== this.tier) continue;
      let workMs = 0;
      let leastMs = Number.POSITIVE_INFINITY;
      for (let row = lists.head[group]!; row !== NONE; row = lists.next[row]!) {
        if (this.moment.isLost(row, group)) continue;
        const shortestMs = this.takesMs(row, this.moment.durations.shortestReadyMs);
        workMs += shortestMs;
        leastMs = Math.min(leastMs, shortestMs);
        rows++;
      }
      this.leastMs[group] = leastMs;
      if (workMs === 0) continue;
      totalMs += workMs;
      endUnixMs = Math.max(endUnixMs, windows.lastClose[group]!);
      this.backlogMs[levelOf(this.bestAhead(group))]! += workMs;
    }
    this.worth = this.worthOf(endUnixMs - nowUnixMs);
    this.timeToSpare = totalMs * TO_SPARE < endUnixMs - nowUnixMs;
    if (this.timeToSpare) this.closing.prepare(this.tier);
    this.price = (TIME_SHARE * (this.worth - 1) * rows) / totalMs;
    const delayMs = Math.min(totalMs * DELAY_SHARE, endUnixMs - nowUnixMs, LONGEST_DELAY);
    this.later.forEach((instant, index) => {
      instant.moveTo(nowUnixMs + Math.max(MINUTE, delayMs * DELAYS[index]!));
    });
  }

  /**
   * If everything were observed at its best, best first, until the time left is used up: the airmass of the
   * last one to fit, stretched a little. With time for all, the largest worth.
   */
  private worthOf(leftMs: Millis): number {
    let unusedMs = leftMs;
    for (let level = 0; level < LEVELS.length; level++) {
      unusedMs -= this.backlogMs[level]!;
      if (unusedMs < 0)
        return Math.min(LARGEST_WORTH, 1 + WORTH_STRETCH * (LEVELS[level]! - 1) + WORTH_MARGIN);
    }
    return LARGEST_WORTH;
  }

  /** The lowest airmass a group will still reach; once its best is over, the one it has now. */
  private bestAhead(group: number): number {
    this.best ??= bestOfNight(this.moment.table.groups, this.moment.sky, new SkyInstant(this.moment.site));
    const over = this.best.unixMs[group]! < this.moment.nowUnixMs;
    return roughAirmass(over ? this.moment.sinAltitude(group) : this.best.sine[group]!);
  }
}

/** Plane-parallel: 1 / sin h. Good to 1 % above 15°, ample for weighing one target against another. */
function roughAirmass(sine: number): number {
  return 1 / Math.max(0.05, sine);
}

function levelOf(airmass: number): number {
  let level = 0;
  while (level < LEVELS.length - 1 && LEVELS[level]! < airmass) level++;
  return level;
}
