/** Compares each request's start with what was forecast of it, and journals that for the calibration. */
import type { CallOff, Clock } from "../base/clock.js";
import { type Log, silentLog } from "../base/log.js";
import { seededRandom } from "../base/random.js";
import type { Millis, UtcMillis } from "../base/units.js";
import { type ChanceOutcome, horizonIndex, levelOf } from "../forecast/learn/calibration.js";
import type { Desk } from "../journal/desk.js";
import type { Entry, EventFacts } from "../journal/events.js";
import type { Baseline } from "./baseline.js";
import { LIKELY } from "./forecast-service.js";

/** Forecasts of one request, one kept of each kind, each with equal chance. */
interface Kept<What> {
  readonly what: What;
  readonly madeUnixMs: UtcMillis;
  readonly seen: number;
}
type Start = { readonly quantiles: ArrayLike<UtcMillis>; readonly horizonMs: Millis };
type Chance = Omit<ChanceOutcome, "came">;
type Scored = EventFacts["forecast.scored"];

/** What people are told of the taking is written down first; scores can wait so long, in real time. */
const PATIENCE: Millis = 250;

export class ScoreKeeper {
  private readonly starts = new Map<number, (Kept<Start> | undefined)[]>();
  private readonly chances = new Map<number, (Kept<Chance> | undefined)[]>();
  private night: string | null;
  private readonly random = seededRandom(1);
  private readonly silence: () => void;

  private readonly pending = new Set<CallOff>();

  constructor(
    private readonly desk: Desk,
    private readonly clock: Clock,
    private readonly log: Log = silentLog,
  ) {
    this.night = desk.state.night;
    this.silence = desk.listen((entry) => this.note(entry));
  }

  stop(): void {
    this.silence();
    for (const callOff of this.pending) callOff();
  }

  /** Takes note of a finished spread. */
  remember({ ranges, isHeld }: Baseline, madeUnixMs: UtcMillis): void {
    const { waiting, hold } = this.desk.state;
    for (const kept of [this.starts, this.chances])
      for (const number of kept.keys()) if (!waiting.has(number)) kept.delete(number);
    for (const { number, quantiles, medianUnixMs, chanceTonight } of ranges.values()) {
      this.keep(this.chances, number, isHeld ? 1 : 0, { said: chanceTonight, held: isHeld }, madeUnixMs);
      // What is not promised teaches nothing of what is.
      const promised = chanceTonight >= LIKELY && !(hold !== null && hold.untilUnixMs === null);
      if (quantiles === null || medianUnixMs === null || !promised) continue;
      const horizonMs = Math.max(0, medianUnixMs - madeUnixMs);
      this.keep(this.starts, number, horizonIndex(horizonMs), { quantiles, horizonMs }, madeUnixMs);
    }
  }

  private keep<What>(
    into: Map<number, (Kept<What> | undefined)[]>,
    number: number,
    kind: number,
    what: What,
    madeUnixMs: UtcMillis,
  ): void {
    const all = into.get(number) ?? [];
    const seen = (all[kind]?.seen ?? 0) + 1;
    const replaces = this.random.uniform() * seen < 1;
    all[kind] = replaces ? { what, madeUnixMs, seen } : { ...(all[kind] as Kept<What>), seen };
    into.set(number, all);
  }

  private note({ events, atUnixMs }: Entry): void {
    for (const event of events) {
      if (event.type === "night.began") this.nightIsOver();
      if (event.type === "request.taken") this.hasCome(event.number, atUnixMs);
    }
    this.night = this.desk.state.night;
  }

  /** What is taken in the instant of the forecast was not foretold. */
  private hasCome(number: number, atUnixMs: UtcMillis): void {
    const foretold = <What>(kept: Kept<What> | undefined): What[] =>
      kept && kept.madeUnixMs < atUnixMs ? [kept.what] : [];
    const outcomes = (this.starts.get(number) ?? []).flatMap(foretold).map(({ quantiles, horizonMs }) => ({
      level: rounded(levelOf(quantiles, atUnixMs)),
      horizonMs,
    }));
    const chances = (this.chances.get(number) ?? [])
      .flatMap(foretold)
      .map((each): ChanceOutcome => ({ ...each, came: true }));
    this.starts.delete(number);
    this.chances.delete(number);
    if (outcomes.length + chances.length > 0) this.journalSoon([{ number, outcomes, chances }]);
  }

  /** Whatever still waits has not come; what was foretold of its start says nothing of the new night. */
  private nightIsOver(): void {
    const { waiting } = this.desk.state;
    const night = this.night;
    const never = [...this.chances].filter(([number]) => waiting.has(number));
    const scores = never.map(([number, kept]): Scored => {
      const chances = kept.flatMap((each) => (each ? [{ ...each.what, came: false }] : []));
      return { number, outcomes: [], chances, ...(night === null ? {} : { night }) };
    });
    this.starts.clear();
    this.chances.clear();
    if (scores.length > 0) this.journalSoon(scores);
  }

  private journalSoon(scores: readonly Scored[]): void {
    const { clock } = this;
    const callOff = clock.at(clock.now() + PATIENCE * clock.speed, () => {
      this.pending.delete(callOff);
      void this.journal(scores);
    });
    this.pending.add(callOff);
  }

  private async journal(scores: readonly Scored[]): Promise<void> {
    try {
      await this.desk.act(() => scores.map((each) => ({ type: "forecast.scored", ...each })), {
        by: "forecast",
      });
    } catch (error) {
      this.log.warn({ reason: (error as Error).message }, "a forecast's outcome was not kept");
    }
  }
}

/** To a thousandth, which is more than is known. */
function rounded(level: number): number {
  return Math.round(level * 1_000) / 1_000;
}
