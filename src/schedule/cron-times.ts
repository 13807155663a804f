/**
 * When a cron expression is due, by the clock on the wall of one time zone.
 *
 * node-cron reads the expression and the zone (`match`). Its own timers know real time only, and Nightslate's
 * clock may run faster or be a test's; so we ask its matcher about each minute of our clock. Two days a year
 * the wall clock jumps, and there a job that people wait for must run once, as Vixie's cron has it: a minute
 * that is skipped is made up for at the first minute after the gap, and a minute that comes twice counts once.
 */
import { IANAZone } from "luxon";
import { createTask } from "node-cron";
import { DAY, HOUR, MINUTE, type UtcMillis } from "../base/units.js";

/** Missed times further back than this are not looked for: a month, so that a monthly one is found. */
const LONGEST_LOOK_BACK = 32 * DAY;
/** No zone sets its clocks back by more. */
const LONGEST_SHIFT = 3 * HOUR;

type Matcher = Pick<ReturnType<typeof createTask>, "match">;

export class CronTimes {
  private readonly zone: IANAZone;
  private readonly inZone: Matcher;
  /** Matches a wall-clock reading given as if it were UTC: also one that the zone skips. */
  private readonly onWall: Matcher;

  /**
   * @param expression five fields, checked by the configuration
   * @param timeZone IANA name
   */
  constructor(expression: string, timeZone: string) {
    this.zone = IANAZone.create(timeZone);
    this.inZone = createTask(expression, () => {}, { timezone: timeZone });
    this.onWall = createTask(expression, () => {}, { timezone: "UTC" });
  }

  /** The latest due minute after `afterUnixMs`, up to and including `untilUnixMs`; null for none. */
  latest(afterUnixMs: UtcMillis, untilUnixMs: UtcMillis): UtcMillis | null {
    const earliest = Math.max(afterUnixMs, untilUnixMs - LONGEST_LOOK_BACK);
    for (let unixMs = Math.floor(untilUnixMs / MINUTE) * MINUTE; unixMs > earliest; unixMs -= MINUTE) {
      if (this.isDue(unixMs)) return unixMs;
    }
    return null;
  }

  private isDue(unixMs: UtcMillis): boolean {
    if (this.inZone.match(new Date(unixMs))) return !this.isRepeated(unixMs);
    const skipped = this.offset(unixMs) - this.offset(unixMs - MINUTE);
    for (let back = MINUTE; back <= skipped; back += MINUTE) {
      if (this.onWall.match(new Date(unixMs + this.offset(unixMs) - back))) return true;
    }
    return false;
  }

  /** Whether the wall has shown this minute before: the clocks were set back meanwhile. */
  private isRepeated(unixMs: UtcMillis): boolean {
    const setBack = this.offset(unixMs - LONGEST_SHIFT) - this.offset(unixMs);
    return setBack > 0 && this.offset(unixMs - setBack) === this.offset(unixMs) + setBack;
  }

  /** Milliseconds that the wall clock is ahead of UTC. */
  private offset(unixMs: UtcMillis): number {
    return this.zone.offset(unixMs) * MINUTE;
  }
}
