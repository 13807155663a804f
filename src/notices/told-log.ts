/** When each owner was last told an estimate, so that nobody is told too often. */
import type { Millis, UtcMillis } from "../base/units.js";
import type { Entry, Hold } from "../journal/events.js";

/** When an estimate was told: what the journal holds after that entry came later. */
export interface Told {
  readonly entry: number;
  readonly unixMs: UtcMillis;
}

export class ToldLog {
  private readonly told = new Map<number, Told>();
  private readonly movedUnixMs = new Map<number, UtcMillis>();
  /** New ones whose reply has told their estimate, though that is stored in a later entry. */
  private readonly replied = new Set<number>();

  /** @param started stands for what was told before the start */
  constructor(private readonly started: Told) {}

  /** Takes note of a stored entry. */
  note({ events, id, atUnixMs }: Entry): void {
    const now = { entry: id, unixMs: atUnixMs };
    for (const event of events) {
      if (event.type === "request.made") {
        this.told.set(event.number, now);
        this.replied.add(event.number);
      } else if (event.type === "estimates.told") {
        for (const { number } of event.estimates)
          if (!this.replied.delete(number)) this.told.set(number, now);
      } else if (event.type === "estimates.moved") {
        for (const { number } of event.moves) {
          this.replied.delete(number);
          this.told.set(number, now);
          this.movedUnixMs.set(number, atUnixMs);
        }
      }
    }
  }

  /** When an estimate was last told. */
  toldAt(number: number): Told {
    return this.told.get(number) ?? this.started;
  }

  /** One move at most within `spacingMs`, and within one hold. */
  mayTell(number: number, nowUnixMs: UtcMillis, spacingMs: Millis, hold: Hold | null): boolean {
    const movedUnixMs = this.movedUnixMs.get(number);
    if (movedUnixMs === undefined) return true;
    return nowUnixMs - movedUnixMs >= spacingMs && (hold === null || movedUnixMs < hold.sinceUnixMs);
  }

  /** Lets go of requests that no longer wait. */
  keepOnly(waiting: ReadonlySet<number>): void {
    for (const kept of [this.told, this.movedUnixMs, this.replied]) {
      for (const number of kept.keys()) if (!waiting.has(number)) kept.delete(number);
    }
  }
}
