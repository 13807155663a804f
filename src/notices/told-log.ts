/** When each owner was last told an estimate, so that nobody is told too often. */
import type { Millis, UtcMillis } from "../base/units.js";
import type { Entry, Hold } from "../journal/events.js";

export class ToldLog {
  private readonly toldUnixMs = new Map<number, UtcMillis>();
  private readonly movedUnixMs = new Map<number, UtcMillis>();

  /** @param startedUnixMs stands for the times of what was told before the start */
  constructor(private readonly startedUnixMs: UtcMillis) {}

  /** Takes note of a stored entry. */
  note(entry: Entry): void {
    for (const event of entry.events) {
      if (event.type === "estimates.told") {
        for (const { number } of event.estimates) this.toldUnixMs.set(number, entry.atUnixMs);
      } else if (event.type === "estimates.moved") {
        for (const { number } of event.moves) {
          this.toldUnixMs.set(number, entry.atUnixMs);
          this.movedUnixMs.set(number, entry.atUnixMs);
        }
      }
    }
  }

  /** When an estimate was last told. */
  toldAt(number: number): UtcMillis {
    return this.toldUnixMs.get(number) ?? this.startedUnixMs;
  }

  /** One move at most within `spacingMs`, and within one hold. */
  mayTell(number: number, nowUnixMs: UtcMillis, spacingMs: Millis, hold: Hold | null): boolean {
    const movedUnixMs = this.movedUnixMs.get(number);
    if (movedUnixMs === undefined) return true;
    return nowUnixMs - movedUnixMs >= spacingMs && (hold === null || movedUnixMs < hold.sinceUnixMs);
  }

  /** Lets go of requests that no longer wait. */
  keepOnly(waiting: ReadonlySet<number>): void {
    for (const map of [this.toldUnixMs, this.movedUnixMs]) {
      for (const number of map.keys()) if (!waiting.has(number)) map.delete(number);
    }
  }
}
