/** Ids as the platform makes them: time in the upper bits, so that they sort by age. */
import type { UtcMillis } from "../../../../src/base/units.js";

/** First instant of the platform's id scheme, 2015-01-01T00:00:00Z (documented, "Snowflakes"). */
const EPOCH_UNIX_MS = 1_420_070_400_000n;

/** Makes ids that never repeat and never run backwards, whatever the clock does. */
export class SnowflakeMaker {
  private last = 0n;

  constructor(private readonly now: () => UtcMillis) {}

  next(): string {
    const fromClock = (BigInt(this.now()) - EPOCH_UNIX_MS) << 22n;
    this.last = fromClock > this.last ? fromClock : this.last + 1n;
    return this.last.toString();
  }
}

/** When an id was made. */
export function madeUnixMs(id: string): UtcMillis {
  return Number((BigInt(id) >> 22n) + EPOCH_UNIX_MS);
}
