/** Compares each request's start with what was forecast of it, and journals that for the calibration. */
import type { CallOff, Clock } from "../base/clock.js";
import { type Log, silentLog } from "../base/log.js";
import { seededRandom } from "../base/random.js";
import type { Millis, UtcMillis } from "../base/units.js";
import { HORIZONS, horizonIndex, type Outcome, widen } from "../forecast/learn/calibration.js";
import type { Ranges } from "../forecast/pool.js";
import type { Desk } from "../journal/desk.js";
import type { Entry } from "../journal/events.js";
import { LIKELY } from "./forecast-service.js";

type Forecast = Omit<Outcome, "actual">;

/** Forecasts of one request at one horizon, one of them kept, each with equal chance. */
interface Kept {
  readonly forecast: Forecast;
  readonly madeUnixMs: UtcMillis;
  readonly seen: number;
}

/** What people are told of the taking is written down first; scores can wait so long, in real time. */
const PATIENCE: Millis = 250;

export class ScoreKeeper {
  private readonly kept = new Map<number, (Kept | undefined)[]>();
  private readonly random = seededRandom(1);
  private readonly silence: () => void;

  private readonly pending = new Set<CallOff>();

  constructor(
    private readonly desk: Desk,
    private readonly clock: Clock,
    private readonly log: Log = silentLog,
  ) {
    this.silence = desk.listen((entry) => this.note(entry));
  }

  stop(): void {
    this.silence();
    for (const callOff of this.pending) callOff();
  }

  /** Takes note of a finished spread. */
  remember(ranges: Ranges["ranges"], madeUnixMs: UtcMillis): void {
    for (const number of this.kept.keys()) if (!this.desk.state.waiting.has(number)) this.kept.delete(number);
    for (const { number, lowUnixMs, medianUnixMs, highUnixMs, chanceTonight } of ranges.values()) {
      if (lowUnixMs === null || medianUnixMs === null || highUnixMs === null) continue;
      // What is not promised teaches nothing of what is.
      if (chanceTonight < LIKELY) continue;
      const horizonMs = Math.max(0, medianUnixMs - madeUnixMs);
      const range = widen(lowUnixMs, medianUnixMs, highUnixMs, horizonMs, this.desk.state.calibration);
      const given = { low: Math.max(madeUnixMs, range.low), high: range.high };
      const forecast = { low: lowUnixMs, median: medianUnixMs, high: highUnixMs, horizonMs, given };
      this.keep(number, forecast, madeUnixMs);
    }
  }

  private keep(number: number, forecast: Forecast, madeUnixMs: UtcMillis): void {
    const all = this.kept.get(number) ?? new Array<Kept | undefined>(HORIZONS.length).fill(undefined);
    const index = horizonIndex(forecast.horizonMs);
    const seen = (all[index]?.seen ?? 0) + 1;
    const replaces = this.random.uniform() * seen < 1;
    all[index] = replaces ? { forecast, madeUnixMs, seen } : { ...(all[index] as Kept), seen };
    this.kept.set(number, all);
  }

  private note({ events, atUnixMs }: Entry): void {
    for (const event of events) {
      // What was foretold of last night says nothing of this one.
      if (event.type === "night.began") this.kept.clear();
      if (event.type !== "request.taken") continue;
      const { number } = event;
      const outcomes = (this.kept.get(number) ?? []).flatMap((kept) =>
        // What is taken in the instant of the forecast was not foretold.
        kept && kept.madeUnixMs < atUnixMs ? [{ ...kept.forecast, actual: atUnixMs }] : [],
      );
      this.kept.delete(number);
      if (outcomes.length > 0) this.journalSoon(number, outcomes);
    }
  }

  private journalSoon(number: number, outcomes: readonly Outcome[]): void {
    const { clock } = this;
    const callOff = clock.at(clock.now() + PATIENCE * clock.speed, () => {
      this.pending.delete(callOff);
      void this.journal(number, outcomes);
    });
    this.pending.add(callOff);
  }

  private async journal(number: number, outcomes: readonly Outcome[]): Promise<void> {
    try {
      await this.desk.act(() => [{ type: "forecast.scored", number, outcomes }], { by: "forecast" });
    } catch (error) {
      this.log.warn({ reason: (error as Error).message }, "a forecast's outcome was not kept");
    }
  }
}
