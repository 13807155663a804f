/**
 * The plain predictors of the delay-announcement literature (R. Ibrahim & W. Whitt 2009, Manufacturing & Service
 * Operations Management 11, 397): queue length × mean service, the last served's wait, the head of the line's wait.
 * They are given the benefit of opening hours: waits count from dusk, and nothing starts before it.
 */
import type { Millis, UtcMillis } from "../../base/units.js";
import type { NightInput } from "../../forecast/night-run.js";
import type { Request } from "../../queue/request.js";
import type { PlainStarts } from "./question.js";

export class PlainPredictors {
  private duskUnixMs: UtcMillis = 0;
  private served = 0;
  private servedMs: Millis = 0;
  private lastWaitMs: Millis = 0;

  /** A new night: waits of those who ask in daylight count from its dusk. */
  nightBegins(duskUnixMs: UtcMillis): void {
    this.duskUnixMs = duskUnixMs;
  }

  taken(request: Request, atUnixMs: UtcMillis): void {
    this.lastWaitMs = Math.max(0, atUnixMs - this.opened(request.askedUnixMs));
  }

  ended(takenUnixMs: UtcMillis, endedUnixMs: UtcMillis): void {
    this.served++;
    this.servedMs += endedUnixMs - takenUnixMs;
  }

  /** Never earlier than now: the past is known not to have been it. */
  startsOf(request: Request, night: NightInput): PlainStarts {
    const now = this.opened(night.nowUnixMs);
    const from = this.opened(request.askedUnixMs);
    const others = night.waiting.filter((other) => other.number !== request.number);
    const ahead = others.filter((other) => other.number < request.number).length + (night.current ? 1 : 0);
    const head = Math.min(now, ...others.map((other) => this.opened(other.askedUnixMs)));
    return {
      queueLengthTimesMeanService: now + ahead * this.meanServiceMs(request),
      lastServedWait: Math.max(now, from + this.lastWaitMs),
      headOfLineWait: Math.max(now, from + now - head),
    };
  }

  /** Before anyone was served: as long as its own exposures. */
  private meanServiceMs({ exposureSeconds, frames }: Request): Millis {
    return this.served > 0 ? this.servedMs / this.served : exposureSeconds * frames * 1_000;
  }

  private opened(unixMs: UtcMillis): UtcMillis {
    return Math.max(unixMs, this.duskUnixMs);
  }
}
