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
import { type Night, nightOf } from "../../sky/night.js";
import { ManualClock } from "../manual-clock.js";
import { PlainPredictors } from "./plain-predictors.js";
import type { UnderWay } from "./play.js";
import type { Answer, Fact, Judged, Range } from "./question.js";
import type { ActionDone } from "./telescope.js";
import { UsualRange } from "./usual-range.js";
import type { Channel, Ended, Watcher } from "./watcher.js";

const STAFF = "backtest:staff";
const WITHDRAWN: Fact = { came: "withdrawn", startUnixMs: null };

export class Forecaster implements Watcher {
  private readonly clock = new ManualClock(0);
  private readonly desk: Desk = openMemoryDesk({ clock: this.clock, derive: () => [] });
  private readonly forecast: OpenForecast;
  private readonly plain = new PlainPredictors();
  private readonly pending = new Map<number, Answer[]>();
  private readonly judged: Judged[] = [];
  /** Withdrawn, and still to learn when their turn would have come. */
  private readonly gone = new Set<number>();
  private readonly nights = new WeakMap<Answer, UnderWay>();
  private current: ActionDone | null = null;
  private readonly usual = new UsualRange();
  private night = "";
  private readonly siteName: string;
  private readonly timeZone: string;

  /** @param config with the observatory of the site */
  constructor(config: Config) {
    const { name, timeZone } = config.observatory.site;
    this.siteName = name;
    this.timeZone = timeZone;
    this.forecast = openForecast({ desk: this.desk, config, clock: this.clock, pool: spreadHere });
  }

  async nightBegins({ date, startUnixMs }: Night, duskUnixMs: UtcMillis): Promise<void> {
    this.plain.nightBegins(duskUnixMs);
    this.night = `${this.siteName} ${date}`;
    if (this.desk.state.night === date) return;
    await this.happen(startUnixMs, { type: "night.began", date, carriedOver: [] });
  }

  /** The night is over, then what still waits is cancelled; the night's judgements are handed over. */
  async nightEnds({ endUnixMs }: Night): Promise<Judged[]> {
    const { waiting, taken, hold } = this.desk.state;
    const numbers = [...waiting, ...(taken ? [taken.number] : [])];
    if (hold !== null) await this.held(false, endUnixMs);
    const { date } = nightOf(endUnixMs, this.timeZone);
    await this.happen(endUnixMs, { type: "night.began", date, carriedOver: numbers });
    await this.happen(endUnixMs, {
      ...{ type: "requests.cancelled", cancelId: date, numbers, reason: "the night is over", by: STAFF },
    });
    for (const number of [...this.pending.keys()])
      this.settle(number, this.gone.has(number) ? WITHDRAWN : { came: "not tonight" });
    this.gone.clear();
    this.current = null;
    const judged = this.judged.splice(0);
    this.usual.nightEnds(judged);
    return judged;
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
    this.gone.add(number);
    await this.happen(atUnixMs, { type: "request.withdrawn", number });
  }

  async taken(action: ActionDone): Promise<void> {
    const { request, plannedFreeUnixMs, takenUnixMs, airmass, pointingAfter } = action;
    this.current = action;
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
    this.current = null;
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

  wouldHaveStarted({ number }: Request, startUnixMs: UtcMillis): void {
    this.settle(number, { came: "withdrawn", startUnixMs });
  }

  /** A hold whose end is said anew has stood since it was placed. */
  async held(isHeld: boolean, atUnixMs: UtcMillis, untilUnixMs: UtcMillis | null = null): Promise<void> {
    const sinceUnixMs = this.desk.state.hold?.sinceUnixMs ?? atUnixMs;
    const hold = { reason: "cloud or repairs", by: STAFF, sinceUnixMs, untilUnixMs };
    await this.happen(atUnixMs, isHeld ? { type: "hold.placed", hold } : { type: "hold.lifted", by: STAFF });
  }

  async question(request: Request, night: NightInput, shownIn: Channel): Promise<void> {
    const { number } = request;
    await this.moveTo(night.nowUnixMs);
    // The reply to a request does not wait for the spread that it causes.
    if (shownIn === "when") await this.forecast.settled();
    const estimate = this.forecast.estimate(number);
    const start = estimate && rangeOf(estimate);
    const { hold } = this.desk.state;
    const answer: Answer = {
      number,
      questionUnixMs: night.nowUnixMs,
      start,
      onHold: hold !== null && hold.untilUnixMs === null,
      held: hold !== null,
      shownIn,
      night: this.night,
      chanceTonight: estimate?.chanceTonight ?? 0,
      plain: this.plain.startsOf(request, night),
      usual: start && this.usual.around(start.medianUnixMs, night.nowUnixMs),
    };
    this.pending.set(number, [...(this.pending.get(number) ?? []), answer]);
    this.nights.set(answer, { night, current: this.current });
    await this.forecast.settled();
  }

  /** The night as it stood when an answer was given. */
  nightOf(answer: Answer): UnderWay {
    return this.nights.get(answer) as UnderWay;
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
