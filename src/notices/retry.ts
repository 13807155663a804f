/** How long to wait before trying again, for every kind of trouble: one table. */
import type { Clock } from "../base/clock.js";
import { DAY, type Millis, SECOND, type Seconds } from "../base/units.js";

export type Trouble =
  /** The surface asked to be tried again, or failed. */
  | "surface"
  /** The journal could not store what had happened. */
  | "journal";

/** First, second, third … trial; the last delay is repeated. Real seconds. */
const DELAYS: Readonly<Record<Trouble, readonly Seconds[]>> = {
  surface: [1, 2, 5, 15, 60, 300],
  journal: [1, 2, 5, 10],
};

/** A notice that could not be delivered for so long is dropped, with its reason. */
export const LONGEST_TRYING: Millis = 7 * DAY;

/**
 * Real milliseconds until the next trial.
 * @param failures how often it has gone wrong in a row, from 1
 */
export function delayMs(trouble: Trouble, failures: number): Millis {
  const delays = DELAYS[trouble];
  return (delays[Math.min(failures, delays.length) - 1] as Seconds) * SECOND;
}

/** Waits that can all be broken off. */
export class Waits {
  private readonly open = new Set<() => void>();
  private over = false;

  constructor(private readonly clock: Clock) {}

  /** Resolves after so many real milliseconds on the clock given, or at once when broken off. */
  async real(ms: Millis): Promise<void> {
    if (this.over) return;
    await new Promise<void>((done) => {
      const finish = (): void => {
        callOff();
        this.open.delete(finish);
        done();
      };
      const callOff = this.clock.at(this.clock.now() + ms * this.clock.speed, finish);
      this.open.add(finish);
    });
  }

  /** Ends every wait, now and to come. */
  breakOff(): void {
    this.over = true;
    for (const finish of [...this.open]) finish();
  }
}
