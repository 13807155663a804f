/** The forecast as a real Nightslate runs it: sees only what the journal would tell, learns from night to night. */
import { HOUR, type UtcMillis } from "../base/units.js";
import {
  type Beliefs,
  type ForecastSettings,
  factorsOf,
  type MeasuredTime,
  priorBeliefs,
} from "../forecast/beliefs.js";
import { type Calibration, freshCalibration, observe, widen } from "../forecast/calibration.js";
import { EMPTY_TALLY, type Tally } from "../forecast/experience.js";
import { learnBeliefs } from "../forecast/learn-beliefs.js";
import { learnOverheads } from "../forecast/learn-overheads.js";
import type { NightInput } from "../forecast/night-run.js";
import { spreadOf } from "../forecast/spread.js";
import type { Observatory, OverheadFactors } from "../observatory/observatory.js";
import type { Request } from "../queue/request.js";
import { type Night, nightOf } from "../sky/night.js";
import type { Answer, Fact, Judged } from "./answer.js";
import { PlainPredictors } from "./plain-predictors.js";
import type { Ended, Watcher } from "./watcher.js";

/** As many as the journal keeps. */
const MEASURED_KEPT = 200;
/** As the journal has it: a longer hold was forgotten, one in a queue at rest interrupts nothing. */
const LONGEST_HOLD_COUNTED = 4 * HOUR;
const IN_USE_WITHIN = 2 * HOUR;
/** A start is promised when it is at least as likely as not. */
const LIKELY = 0.5;

interface Pending {
  readonly answer: Answer;
  /** The spread's own range, before calibration. */
  readonly raw: { readonly low: UtcMillis; readonly median: UtcMillis; readonly high: UtcMillis } | null;
}

export class Forecaster implements Watcher {
  private readonly prior: Beliefs;
  private readonly plain = new PlainPredictors();
  private readonly requests = new Map<number, Request>();
  private readonly pending = new Map<number, Pending[]>();
  private readonly judged: Judged[] = [];
  private measured: readonly MeasuredTime[] = [];
  private factors: OverheadFactors | null = null;
  private calibration: Calibration = freshCalibration();
  private tally: Tally = EMPTY_TALLY;
  private heldSinceUnixMs: UtcMillis | null = null;
  private night: Night | null = null;
  private questions = 0;

  constructor(
    settings: ForecastSettings & { readonly runs: number },
    private readonly observatory: Observatory,
  ) {
    this.runs = settings.runs;
    this.prior = priorBeliefs(settings, observatory);
  }

  private readonly runs: number;

  nightBegins(night: Night, duskUnixMs: UtcMillis): void {
    this.night = night;
    this.plain.nightBegins(duskUnixMs);
  }

  /** What still waits is cancelled; the night's judgements are handed over. */
  nightEnds(endUnixMs: UtcMillis): Judged[] {
    if (this.heldSinceUnixMs !== null) this.held(false, endUnixMs);
    for (const number of [...this.pending.keys()]) this.settle(number, { came: "not tonight" });
    for (const request of this.requests.values()) {
      if (request.state === "waiting") this.change(request, { state: "cancelled", endedUnixMs: endUnixMs });
    }
    return this.judged.splice(0);
  }

  overheads(): OverheadFactors {
    this.factors ??= factorsOf({
      ...this.prior,
      overheads: learnOverheads(this.measured, this.prior.overheads),
    });
    return this.factors;
  }

  asked(request: Request): void {
    this.requests.set(request.number, request);
  }

  withdrawn(request: Request, atUnixMs: UtcMillis): void {
    this.change(request, { state: "withdrawn", endedUnixMs: atUnixMs });
    this.settle(request.number, { came: "withdrawn" });
  }

  taken(request: Request, atUnixMs: UtcMillis): void {
    this.requests.set(request.number, request);
    this.tally = { ...this.tally, attempts: this.tally.attempts + 1, lastTakenUnixMs: atUnixMs };
    this.plain.taken(request, atUnixMs);
    this.settle(request.number, { came: "started", startUnixMs: atUnixMs });
  }

  ended({ request, outcome, waitsAgain, takenUnixMs, endedUnixMs, samples }: Ended): void {
    const state = waitsAgain ? "waiting" : outcome;
    this.change(request, { state, endedUnixMs: waitsAgain ? null : endedUnixMs });
    this.plain.ended(takenUnixMs, endedUnixMs);
    this.measured = [...this.measured, ...samples].slice(-MEASURED_KEPT);
    this.factors = null;
    this.tally = {
      ...this.tally,
      failures: this.tally.failures + (outcome === "failed" ? 1 : 0),
      workedMs: this.tally.workedMs + endedUnixMs - takenUnixMs,
    };
  }

  /** Holds are counted as the journal counts them: only those that interrupt the observing. */
  held(isHeld: boolean, atUnixMs: UtcMillis): void {
    const since = this.heldSinceUnixMs;
    this.heldSinceUnixMs = isHeld ? atUnixMs : null;
    if (isHeld || since === null || since - this.tally.lastTakenUnixMs > IN_USE_WITHIN) return;
    const heldMs = Math.min(LONGEST_HOLD_COUNTED, atUnixMs - since);
    this.tally = { ...this.tally, holds: this.tally.holds + 1, heldMs: this.tally.heldMs + heldMs };
  }

  question(request: Request, input: NightInput): void {
    const beliefs = this.beliefs(input.nowUnixMs);
    const spread = spreadOf(input, beliefs, { runs: this.runs, seed: ++this.questions });
    const range = spread.ranges.get(request.number);
    const { nowUnixMs } = input;
    const chanceTonight = range?.chanceTonight ?? 0;
    const { lowUnixMs: low = null, medianUnixMs: median = null, highUnixMs: high = null } = range ?? {};
    const raw = low !== null && median !== null && high !== null ? { low, median, high } : null;
    const answer: Answer = {
      number: request.number,
      questionUnixMs: nowUnixMs,
      start: raw && chanceTonight >= LIKELY ? this.calibrated(raw, nowUnixMs) : null,
      chanceTonight,
      plain: this.plain.startsOf(request, input),
    };
    this.pending.set(request.number, [...(this.pending.get(request.number) ?? []), { answer, raw }]);
  }

  private calibrated(raw: NonNullable<Pending["raw"]>, nowUnixMs: UtcMillis): Answer["start"] {
    const { low, median, high } = raw;
    const range = widen(low, median, high, median - nowUnixMs, this.calibration);
    return { lowUnixMs: Math.max(nowUnixMs, range.low), medianUnixMs: median, highUnixMs: range.high };
  }

  private beliefs(nowUnixMs: UtcMillis): Beliefs {
    const night = this.night ?? nightOf(nowUnixMs, this.observatory.site.timeZone);
    return learnBeliefs(this.prior, {
      nowUnixMs,
      night,
      measured: this.measured,
      requests: this.requests.values(),
      tally: this.tally,
      openNow: this.heldSinceUnixMs === null,
    });
  }

  private settle(number: number, fact: Fact): void {
    for (const { answer, raw } of this.pending.get(number) ?? []) {
      this.judged.push({ answer, fact });
      if (fact.came !== "started" || answer.start === null || raw === null) continue;
      const horizonMs = raw.median - answer.questionUnixMs;
      if (fact.startUnixMs === answer.questionUnixMs) continue;
      this.calibration = observe(this.calibration, { ...raw, actual: fact.startUnixMs, horizonMs });
    }
    this.pending.delete(number);
  }

  private change({ number }: Request, changes: Partial<Request>): void {
    const request = this.requests.get(number);
    if (request) this.requests.set(number, { ...request, ...changes });
  }
}
