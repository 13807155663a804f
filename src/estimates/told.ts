/** What owners were told of their estimates, and when: so that they hear of it when it moves, and not too often. */
import { type Log, silentLog } from "../base/log.js";
import { MINUTE, type Millis, type UtcMillis } from "../base/units.js";
import type { Desk } from "../journal/desk.js";
import type { Entry, Happened, Hold, NightslateEvent } from "../journal/events.js";
import type { Estimate } from "./forecast-service.js";

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
      } else if (event.type === "request.overtaken" || isTold(event)) {
        this.replied.delete(event.number);
        this.told.set(event.number, now);
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

/** Whether its people are told of a changed earliest time with a new start. */
function isTold(event: NightslateEvent): event is Happened<"request.earliest"> {
  return event.type === "request.earliest" && event.startUnixMs !== undefined;
}

/**
 * Journals what was told unless it is the same to the minute. The answer does not wait for it: the disk is asked
 * after the answer's own entry, and a full one must not keep the answer back.
 */
export function rememberTold(
  estimates: readonly Estimate[],
  { desk, log = silentLog }: { readonly desk: Desk; readonly log?: Log },
): void {
  const fresh = estimates
    .filter(({ place }) => place !== 0)
    .map(({ number, startUnixMs }) => ({ number, startUnixMs }));
  desk
    .act(
      (state) => {
        const told = fresh.filter(
          ({ number, startUnixMs }) =>
            state.waiting.has(number) && !sameMinute(state.told.get(number), startUnixMs),
        );
        return told.length === 0 ? [] : [{ type: "estimates.told", estimates: told }];
      },
      { by: "schedule" },
    )
    .catch((error: unknown) => log.warn({ err: error }, "an estimate that was told could not be stored"));
}

function sameMinute(told: number | null | undefined, start: number | null): boolean {
  if (told === undefined || told === null || start === null) return told === start;
  return Math.abs(told - start) < MINUTE;
}
