/** The clock every part is given: real time, faster time, or a test's own hand. */
import type { Millis, UtcMillis } from "./units.js";

/** Calls off something that was to happen later; calling it twice is harmless. */
export type CallOff = () => void;

export interface Clock {
  /** Times faster than real time; 1 for real time. */
  readonly speed: number;
  now(): UtcMillis;
  /** Runs `action` once, as soon as the clock reads `unixMs` or later (never synchronously). */
  at(unixMs: UtcMillis, action: () => void): CallOff;
}

/** Node's timers overflow beyond this delay; longer waits are taken in legs. */
const LONGEST_TIMER: Millis = 2_000_000_000;

interface Appointment {
  readonly unixMs: UtcMillis;
  readonly action: () => void;
  timer: NodeJS.Timeout | null;
}

/**
 * A clock that starts at `originUnixMs` when made and then runs `speed` times as fast as real time.
 * It can be moved on (past hours in which nothing can happen), never back, and made to wait.
 */
export class ScaledClock implements Clock {
  private startedUnixMs: UtcMillis;
  private readonly waiting = new Set<Appointment>();
  /** How many have asked the clock to wait. */
  private pauses = 0;

  constructor(
    private originUnixMs: UtcMillis,
    readonly speed: number,
  ) {
    this.startedUnixMs = Date.now();
  }

  now(): UtcMillis {
    if (this.pauses > 0) return this.originUnixMs;
    return Math.floor(this.originUnixMs + (Date.now() - this.startedUnixMs) * this.speed);
  }

  at(unixMs: UtcMillis, action: () => void): CallOff {
    const entry: Appointment = { unixMs, action, timer: null };
    this.waiting.add(entry);
    this.arm(entry);
    return () => {
      this.waiting.delete(entry);
      if (entry.timer !== null) clearTimeout(entry.timer);
    };
  }

  /** Moves the clock on to `unixMs`; what became due on the way runs at once, in order of time. */
  jumpTo(unixMs: UtcMillis): void {
    if (unixMs <= this.now()) return;
    this.restartFrom(unixMs);
  }

  /** Stands still until the returned function is called: for simulated work that real time must catch up with. */
  pause(): CallOff {
    const unixMs = this.now();
    this.pauses++;
    this.restartFrom(unixMs);
    let paused = true;
    return () => {
      if (!paused) return;
      paused = false;
      this.pauses--;
      this.restartFrom(this.originUnixMs);
    };
  }

  private restartFrom(unixMs: UtcMillis): void {
    this.originUnixMs = unixMs;
    this.startedUnixMs = Date.now();
    for (const entry of [...this.waiting].sort((a, b) => a.unixMs - b.unixMs)) this.arm(entry);
  }

  private arm(entry: Appointment): void {
    if (entry.timer !== null) clearTimeout(entry.timer);
    const wait = Math.ceil(Math.max(0, entry.unixMs - this.now()) / this.speed);
    if (this.pauses > 0 && wait > 0) return;
    entry.timer = setTimeout(
      () => {
        if (this.now() < entry.unixMs) return this.arm(entry);
        this.waiting.delete(entry);
        entry.action();
      },
      Math.min(wait, LONGEST_TIMER),
    );
  }
}

/** Real time. */
export function systemClock(): Clock {
  return new ScaledClock(Date.now(), 1);
}
