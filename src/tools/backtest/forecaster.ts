/** The class's own forecast over a journal in memory: hears of truth nights as a journal would, is asked as a class asks. */

import type { UtcMillis } from "../../base/units.js";
import type { Config } from "../../config/config.js";
import { type Estimate, LIKELY } from "../../estimates/forecast-service.js";
import { type OpenForecast, openForecast } from "../../estimates/open-forecast.js";
import type { NightInput } from "../../forecast/night-run.js";
import { spreadHere } from "../../forecast/pool.js";
import type { Desk } from "../../journal/desk.js";
import type { NightslateEvent } from "../../journal/events.js";
import { openMemoryDesk } from "../../journal/open-desk.js";
import type { OverheadFactors } from "../../observatory/observatory.js";
import type { Request } from "../../queue/request.js";
import type { Night } from "../../sky/night.js";
import { ManualClock } from "../manual-clock.js";
import { PlainPredictors } from "./plain-predictors.js";
import type { Answer, Fact, Judged, Range } from "./question.js";
import type { ActionDone } from "./telescope.js";
import type { Ended, Watcher } from "./watcher.js";

const STAFF = "backtest:staff";

export class Forecaster implements Watcher {
  private readonly clock = new ManualClock(0);
  private readonly desk: Desk = openMemoryDesk({ clock: this.clock, derive: () => [] });
  private readonly forecast: OpenForecast;
  private readonly plain = new PlainPredictors();
  private readonly pending = new Map<number, Answer[]>();
  private readonly judged: Judged[] = [];

  /** @param config with the observatory of the site */
  constructor(config: Config) {
    this.forecast = openForecast({ desk: this.desk, config, clock: this.clock, pool: spreadHere });
  }

  async nightBegins({ date, startUnixMs }: Night, duskUnixMs: UtcMillis): Promise<void> {
    this.plain.nightBegins(duskUnixMs);
    await this.happen(startUnixMs, { type: "night.began", date, carriedOver: [] });
  }

  /** What still waits is cancelled; the night's judgements are handed over. */
  async nightEnds({ date, endUnixMs }: Night): Promise<Judged[]> {
    const { waiting, taken, hold } = this.desk.state;
    const numbers = [...waiting, ...(taken ? [taken.number] : [])];
    if (hold !== null) await this.held(false, endUnixMs);
    await this.happen(endUnixMs, {
      ...{ type: "requests.cancelled", cancelId: date, numbers, reason: "the night is over", by: STAFF },
    });
    for (const number of [...this.pending.keys()]) this.settle(number, { came: "not tonight" });
    return this.judged.splice(0);
  }

  overheads(): OverheadFactors {
    return this.forecast.overheads();
  }

  async asked(request: Request): Promise<void> {
    const { number, owner, classId, group, tier, via, askedUnixMs } = request;
    await this.happen(askedUnixMs, {
      ...{ type: "request.made", number, wish: request, owner, classId, group, tier, via },
    });
  }

  async withdrawn({ number }: Request, atUnixMs: UtcMillis): Promise<void> {
    this.settle(number, { came: "withdrawn" });
    await this.happen(atUnixMs, { type: "request.withdrawn", number });
  }

  async taken({
    request,
    plannedFreeUnixMs,
    takenUnixMs,
    airmass,
    pointingAfter,
  }: ActionDone): Promise<void> {
    const { number } = request;
    this.plain.taken(request, takenUnixMs);
    this.settle(number, { came: "started", startUnixMs: takenUnixMs });
    const altitudeDegrees = 0;
    await this.happen(takenUnixMs, {
      ...{
        type: "request.taken",
        number,
        freeUnixMs: plannedFreeUnixMs,
        altitudeDegrees,
        airmass,
        pointingAfter,
      },
    });
  }

  async ended({ action, outcome, waitsAgain, endedUnixMs }: Ended): Promise<void> {
    const { number } = action.request;
    const { takenUnixMs, samples } = action;
    const reason = "no usable frame";
    this.plain.ended(takenUnixMs, endedUnixMs);
    await this.happen(
      endedUnixMs,
      ...(samples.length > 0 ? [{ type: "overheads.measured" as const, number, samples }] : []),
      outcome === "failed"
        ? { type: "request.failed", number, reason }
        : { type: "request.completed", number },
      ...(waitsAgain ? [{ type: "request.returned" as const, number, reason, by: null }] : []),
    );
  }

  async held(isHeld: boolean, atUnixMs: UtcMillis): Promise<void> {
    const hold = { reason: "cloud or repairs", by: STAFF, sinceUnixMs: atUnixMs, untilUnixMs: null };
    await this.happen(atUnixMs, isHeld ? { type: "hold.placed", hold } : { type: "hold.lifted", by: STAFF });
  }

  async question(request: Request, night: NightInput): Promise<void> {
    await this.moveTo(night.nowUnixMs);
    await this.forecast.settled();
    const estimate = this.forecast.estimate(request.number);
    const answer: Answer = {
      number: request.number,
      questionUnixMs: night.nowUnixMs,
      start: estimate && rangeOf(estimate),
      onHold: this.desk.state.hold !== null,
      chanceTonight: estimate?.chanceTonight ?? 0,
      plain: this.plain.startsOf(request, night),
    };
    this.pending.set(request.number, [...(this.pending.get(request.number) ?? []), answer]);
  }

  private settle(number: number, fact: Fact): void {
    for (const answer of this.pending.get(number) ?? []) this.judged.push({ answer, fact });
    this.pending.delete(number);
  }

  private async happen(atUnixMs: UtcMillis, ...events: readonly NightslateEvent[]): Promise<void> {
    await this.moveTo(atUnixMs);
    await this.desk.act(() => events, { by: STAFF });
    await this.stored();
  }

  private moveTo(unixMs: UtcMillis): Promise<void> {
    return this.clock.moveTo(unixMs, () => this.stored());
  }

  /** Resolves when what followed from the last event is journalled behind it: a look decides nothing. */
  private async stored(): Promise<void> {
    await this.desk.act(() => [], { by: STAFF });
  }
}

/** null where no start tonight is promised: there is none, or it is thought more likely not to come. */
function rangeOf({ startUnixMs, earliestUnixMs, latestUnixMs, chanceTonight }: Estimate): Range | null {
  if (startUnixMs === null || earliestUnixMs === null || latestUnixMs === null || chanceTonight < LIKELY)
    return null;
  return { lowUnixMs: earliestUnixMs, medianUnixMs: startUnixMs, highUnixMs: latestUnixMs };
}
