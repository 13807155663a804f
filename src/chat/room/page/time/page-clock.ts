/**
 * The observatory's clock as a page shows it. A simulated telescope's clock stands still while a frame is made, so it
 * runs slower than its nominal speed, in fits and starts: the page follows at the pace it has measured, and where
 * it got ahead it waits until the server has caught up. It never shows a time twice, backwards.
 */

interface Sample {
  readonly heardMs: number;
  readonly unixMs: number;
}

/** Pace is measured over so much of the reader's time, milliseconds: several simulated frames. */
const MEASURED_MS = 20_000;
/** Less than this says nothing yet of the pace, milliseconds. */
const TOO_SHORT_MS = 3_000;
/** It runs on for so long without hearing from the server, milliseconds. */
const LONGEST_ALONE_MS = 6_000;
/** Behind by more than this (the reader's milliseconds): it jumps, as after a sleep or a skipped day. */
const JUMP_MS = 10_000;
/** While it makes up for being behind it runs so many times its pace. */
const CATCHING_UP = 2;

export class PageClock {
  private samples: Sample[] = [];
  private speed = 1;
  private shownUnixMs = Number.NEGATIVE_INFINITY;
  private shownAtMs = 0;
  private pace = 1;

  /**
   * Takes the server's time.
   * @param clock UTC milliseconds and the nominal speed, times faster than the reader's
   * @param heardMs the reader's own count of milliseconds, which never goes back
   */
  set(clock: { readonly now: number; readonly speed: number }, heardMs: number): void {
    if (clock.speed !== this.speed) this.samples = [];
    this.speed = clock.speed;
    this.samples = [
      ...this.samples.filter((each) => heardMs - each.heardMs <= MEASURED_MS),
      { heardMs, unixMs: clock.now },
    ];
    this.pace = this.measured();
  }

  /** Another server's clock counts for nothing here: the next time heard is shown at once. */
  reset(): void {
    this.samples = [];
    this.shownUnixMs = Number.NEGATIVE_INFINITY;
  }

  /** What was measured before an interruption says nothing of the time after it. */
  interrupted(): void {
    this.samples = this.samples.slice(-1);
  }

  /** Observatory's seconds in one of the reader's, as measured lately; at most the nominal speed. */
  get paceNow(): number {
    return this.pace;
  }

  /** UTC milliseconds to show; never earlier than what was shown before. */
  now(readerMs: number): number {
    const last = this.samples.at(-1);
    if (!last) return Math.max(this.shownUnixMs, readerMs);
    const aloneMs = Math.min(readerMs - last.heardMs, LONGEST_ALONE_MS);
    const dueUnixMs = last.unixMs + Math.max(0, aloneMs) * this.pace;
    const behindMs = dueUnixMs - this.shownUnixMs;
    if (behindMs > JUMP_MS * this.speed) this.shownUnixMs = dueUnixMs;
    else if (behindMs > 0) {
      const stepMs = (readerMs - this.shownAtMs) * this.pace * CATCHING_UP;
      this.shownUnixMs += Math.min(behindMs, Math.max(0, stepMs));
    }
    this.shownAtMs = readerMs;
    return this.shownUnixMs;
  }

  private measured(): number {
    const [first, last] = [this.samples[0], this.samples.at(-1)];
    if (!first || !last || last.heardMs - first.heardMs < TOO_SHORT_MS) return this.speed;
    const pace = (last.unixMs - first.unixMs) / (last.heardMs - first.heardMs);
    // A day that was skipped is no pace; and a count on the reader's watch must not divide by nothing.
    return Math.min(this.speed, Math.max(this.speed / 20, pace));
  }
}
