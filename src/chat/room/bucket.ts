/** A token bucket: so many at once, then so many a second. */
import type { Clock } from "../../base/clock.js";
import { SECOND } from "../../base/units.js";

export class Bucket {
  private tokens: number;
  private filledUnixMs: number;

  constructor(
    private readonly clock: Clock,
    private readonly burst: number,
    private readonly perSecond: number,
  ) {
    this.tokens = burst;
    this.filledUnixMs = clock.now();
  }

  /** Takes one; false when there is none. */
  take(): boolean {
    const now = this.clock.now();
    const gained = (Math.max(0, now - this.filledUnixMs) / SECOND) * this.perSecond;
    this.tokens = Math.min(this.burst, this.tokens + gained);
    this.filledUnixMs = now;
    if (this.tokens < 1) return false;
    this.tokens -= 1;
    return true;
  }
}
