/** Watches the forecast: who must be told that their estimate moved, and who is next. */

import type { CallOff, Clock } from "../base/clock.js";
import { type Log, silentLog } from "../base/log.js";
import { MINUTE, type Millis, SECOND, type UtcMillis } from "../base/units.js";
import type { Config } from "../config/config.js";
import type { Estimate, ForecastService } from "../estimates/forecast-service.js";
import {
  differencesFrom,
  eventsOf,
  type Findings,
  missedByWaiting,
  nextFrom,
  overtakenFrom,
  type Shift,
  type UnexplainedMove,
} from "../estimates/moves.js";
import { ToldLog } from "../estimates/told.js";
import type { Desk } from "../journal/desk.js";
import type { EstimateMove, NightslateEvent } from "../journal/events.js";
import { heldBy } from "../journal/held-by.js";
import type { State } from "../journal/state.js";
import { nightOf } from "../sky/night.js";

/** For each move one clause such as "two staff requests came in"; null when nothing is known that moved it. */
export type ExplainMoves = (moves: readonly UnexplainedMove[]) => Promise<readonly (string | null)[]>;

export interface WatchParts {
  readonly desk: Desk;
  readonly forecast: Pick<ForecastService, "order" | "whyBefore" | "startWithoutWait"> &
    Partial<Pick<ForecastService, "settled">>;
  readonly clock: Clock;
  readonly config: Config;
  readonly log?: Log;
  /** Finds the causes at each look. */
  readonly explainMoves: ExplainMoves;
}

/** Changes that come together are looked at together, so long after the first of them. */
const SETTLING: Millis = 5 * SECOND;

/** Only these can move an estimate. */
const MOVING: ReadonlySet<NightslateEvent["type"]> = new Set([
  "request.made",
  "request.earliest",
  "request.withdrawn",
  "requests.cancelled",
  "cancel.undone",
  "request.taken",
  "action.revised",
  "request.completed",
  "request.failed",
  "request.returned",
  "overheads.measured",
  "hold.placed",
  "hold.lifted",
  "rule.chosen",
  "plan.kept",
  "equipment.changed",
  "night.began",
]);

/** Looks after every change of the queue, and each minute of the clock. */
export const watchEstimates = (parts: WatchParts): Watch => new Watch(parts);

export class Watch {
  private readonly told: ToldLog;
  private readonly silence: CallOff;
  private readonly timers = new Set<CallOff>();
  private lookDue = false;
  private looking: Promise<void> = Promise.resolve();

  constructor(private readonly parts: WatchParts) {
    const { desk, clock } = parts;
    this.told = new ToldLog({ entry: desk.state.lastEntryId, unixMs: clock.now() });
    this.silence = desk.listen((entry) => {
      this.told.note(entry);
      if (entry.events.some((event) => MOVING.has(event.type))) this.lookSoon();
    });
    this.lookSoon();
    this.lookEachMinute();
  }

  /** Looks no more; resolves when the last look is stored. */
  async stop(): Promise<void> {
    this.silence();
    for (const callOff of this.timers) callOff();
    await this.looking;
  }

  private lookSoon(): void {
    if (this.lookDue) return;
    this.lookDue = true;
    this.at(this.parts.clock.now() + SETTLING, () => {
      this.lookDue = false;
      this.look();
    });
  }

  private lookEachMinute(): void {
    this.at((Math.floor(this.parts.clock.now() / MINUTE) + 1) * MINUTE, () => {
      this.look();
      this.lookEachMinute();
    });
  }

  private look(): void {
    this.looking = this.looking.then(async () => {
      try {
        await this.lookNow();
      } catch (error) {
        this.complain(error);
      }
    });
  }

  private async lookNow(): Promise<void> {
    const { desk, forecast, clock, config } = this.parts;
    // Estimates that are still being worked out would be told twice.
    await forecast.settled?.();
    const { state } = desk;
    const tonight = nightOf(clock.now(), config.observatory.site.timeZone).date;
    // At noon the schedule tells everyone their estimate for the new night, in the entry that begins it.
    if (state.night !== null && state.night !== tonight) return;
    const findings = await this.findingsFrom(forecast.order(), state);
    await desk.act((latest) => eventsOf(findings, latest), { by: "forecast" });
    this.told.keepOnly(state.waiting);
  }

  private async findingsFrom(order: readonly Estimate[], state: State): Promise<Findings> {
    const nowUnixMs = this.parts.clock.now();
    const movedMs = this.parts.config.notices.movedMinutes * MINUTE;
    const { first, moved } = differencesFrom(order, state.told, movedMs);
    // Until staff resume or mend there is nothing to tell but the hold or the fault itself, and that is told.
    const silent = heldBy(state) !== null || (state.hold !== null && state.hold.untilUnixMs === null);
    const due = silent
      ? []
      : moved.filter(({ number }) => this.told.mayTell(number, nowUnixMs, movedMs, state.hold));
    return {
      told: first,
      moves: await this.explained(due, order),
      next: nextFrom(order, state),
      missed: silent ? null : missedByWaiting(order, state, this.parts.forecast, nowUnixMs),
      overtaken:
        state.hold === null && !silent
          ? overtakenFrom(order, state, (a, b) => this.parts.forecast.whyBefore(a, b))
          : [],
    };
  }

  /** Those that have a cause; without one, nothing has happened that anybody needs to hear of. */
  private async explained(due: readonly Shift[], order: readonly Estimate[]): Promise<EstimateMove[]> {
    const estimates = new Map(order.map((estimate) => [estimate.number, estimate]));
    const moves = due.map((shift): UnexplainedMove => {
      const { earliestUnixMs, latestUnixMs } = estimates.get(shift.number) as Estimate;
      const { entry, unixMs } = this.told.toldAt(shift.number);
      return { ...shift, toldEntry: entry, toldUnixMs: unixMs, earliestUnixMs, latestUnixMs };
    });
    const causes = await this.parts.explainMoves(moves);
    return due.flatMap((shift, index) => {
      const because = causes[index] ?? null;
      const { earliestUnixMs, latestUnixMs } = moves[index] as UnexplainedMove;
      const range = earliestUnixMs === null || latestUnixMs === null ? {} : { earliestUnixMs, latestUnixMs };
      return because === null ? [] : [{ ...shift, because, ...range }];
    });
  }

  private at(unixMs: UtcMillis, action: () => void): void {
    const callOff = this.parts.clock.at(Math.max(unixMs, this.parts.clock.now()), () => {
      this.timers.delete(callOff);
      try {
        action();
      } catch (error) {
        this.complain(error);
      }
    });
    this.timers.add(callOff);
  }

  private complain(error: unknown): void {
    const log = this.parts.log ?? silentLog;
    log.error({ reason: (error as Error).message }, "the estimates could not be looked at");
  }
}
