/** A token bucket: so many at once, then so many a second. */
import type { Clock } from "../../../base/clock.js";
import { type Millis, SECOND } from "../../../base/units.js";

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

  /** Real milliseconds until one can be taken; 0 when there is one. */
  get wait(): Millis {
    this.fill();
    return this.tokens >= 1 ? 0 : Math.ceil(((1 - this.tokens) / this.perSecond) * SECOND);
  }

  /** Takes one; false when there is none. */
  take(): boolean {
    this.fill();
    if (this.tokens < 1) return false;
    this.tokens -= 1;
    return true;
  }

  private fill(): void {
    const now = this.clock.now();
    const gained = (Math.max(0, now - this.filledUnixMs) / SECOND) * this.perSecond;
    this.tokens = Math.min(this.burst, this.tokens + gained);
    this.filledUnixMs = now;
  }
}
