/** The clock of tests and tools: it moves when it is told to. */
import type { CallOff, Clock } from "../base/clock.js";
import type { UtcMillis } from "../base/units.js";

/** A clock that stands still until it is moved; due actions run in order of time, then of asking. */
export class ManualClock implements Clock {
  private readonly waiting: { unixMs: UtcMillis; action: () => void }[] = [];

  constructor(
    private unixMs: UtcMillis,
    readonly speed = 1,
  ) {}

  now(): UtcMillis {
    return this.unixMs;
  }

  at(unixMs: UtcMillis, action: () => void): CallOff {
    const entry = { unixMs, action };
    this.waiting.push(entry);
    return () => {
      const index = this.waiting.indexOf(entry);
      if (index >= 0) this.waiting.splice(index, 1);
    };
  }

  /** The next instant at which something is due, or null when nothing waits. */
  nextDue(): UtcMillis | null {
    return this.waiting.length === 0 ? null : Math.min(...this.waiting.map((entry) => entry.unixMs));
  }

  /**
   * Moves the clock to `unixMs`, stopping at each due action on the way.
   * `settle` is awaited after each action, so that promises it started can finish.
   */
  async moveTo(unixMs: UtcMillis, settle: () => Promise<void> = flushPromises): Promise<void> {
    for (;;) {
      const due = this.waiting
        .filter((entry) => entry.unixMs <= unixMs)
        .sort((a, b) => a.unixMs - b.unixMs)[0];
      if (!due) break;
      this.waiting.splice(this.waiting.indexOf(due), 1);
      this.unixMs = Math.max(this.unixMs, due.unixMs);
      due.action();
      await settle();
    }
    this.unixMs = Math.max(this.unixMs, unixMs);
    await settle();
  }
}

/** Lets promises and immediate I/O that are already under way finish. */
async function flushPromises(): Promise<void> {
  for (let turn = 0; turn < 3; turn++) await new Promise<void>((done) => setImmediate(done));
}
