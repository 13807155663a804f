/** The forecast as a real Nightslate runs it: sees only what the journal would tell, learns from night to night. */
import type { UtcMillis } from "../../base/units.js";
import {
  type Beliefs,
  type ForecastSettings,
  factorsOf,
  type MeasuredTime,
  priorBeliefs,
} from "../../forecast/learn/beliefs.js";
import { type Calibration, freshCalibration, observe, widen } from "../../forecast/learn/calibration.js";
import { EMPTY_TALLY, idleSince, type Tally, withHold } from "../../forecast/learn/experience.js";
import { learnBeliefs } from "../../forecast/learn/learn-beliefs.js";
import { learnOverheads } from "../../forecast/learn/learn-overheads.js";
import type { NightInput } from "../../forecast/night-run.js";
import { type StartRange, spreadOf } from "../../forecast/spread.js";
import type { Observatory, OverheadFactors } from "../../observatory/observatory.js";
import type { Request } from "../../queue/request.js";
import { type Night, nightOf } from "../../sky/night.js";
import { PlainPredictors } from "./plain-predictors.js";
import type { Answer, Fact, Judged, Range } from "./question.js";
import type { Ended, Watcher } from "./watcher.js";

/** As many as the journal keeps. */
const MEASURED_KEPT = 200;
/** Runs in each spread: fewer than the class sees, for the sake of time. */
const RUNS = 100;
/** A start is promised when it is at least as likely as not. */
const LIKELY = 0.5;

export class Forecaster implements Watcher {
  private readonly prior: Beliefs;
  private readonly plain = new PlainPredictors();
  private readonly requests = new Map<number, Request>();
  private readonly pending = new Map<number, Answer[]>();
  private readonly judged: Judged[] = [];
  private measured: readonly MeasuredTime[] = [];
  private factors: OverheadFactors | null = null;
  private calibration: Calibration = freshCalibration();
  private tally: Tally = EMPTY_TALLY;
  private tallyBefore: Tally = EMPTY_TALLY;
  private heldSinceUnixMs: UtcMillis | null = null;
  private duskUnixMs: UtcMillis = 0;
  private isBusy = false;
  private night: Night | null = null;
  private questions = 0;

  constructor(
    settings: ForecastSettings,
    private readonly observatory: Observatory,
  ) {
    this.prior = priorBeliefs(settings, observatory);
  }

  nightBegins(night: Night, duskUnixMs: UtcMillis): void {
    this.night = night;
    this.duskUnixMs = duskUnixMs;
    this.tallyBefore = this.tally;
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
    this.isBusy = true;
    this.tally = { ...this.tally, attempts: this.tally.attempts + 1, lastTakenUnixMs: atUnixMs };
    this.plain.taken(request, atUnixMs);
    this.settle(request.number, { came: "started", startUnixMs: atUnixMs });
  }

  ended({ request, outcome, waitsAgain, takenUnixMs, endedUnixMs, samples }: Ended): void {
    const state = waitsAgain ? "waiting" : outcome;
    this.change(request, { state, endedUnixMs: waitsAgain ? null : endedUnixMs });
    this.isBusy = false;
    this.plain.ended(takenUnixMs, endedUnixMs);
    this.measured = [...this.measured, ...samples].slice(-MEASURED_KEPT);
    this.factors = null;
    this.tally = {
      ...this.tally,
      failures: this.tally.failures + (outcome === "failed" ? 1 : 0),
      workedMs: this.tally.workedMs + endedUnixMs - takenUnixMs,
      lastEndedUnixMs: endedUnixMs,
    };
  }

  /** Holds are counted as the journal counts them: only those that interrupt the observing. */
  held(isHeld: boolean, atUnixMs: UtcMillis): void {
    const since = this.heldSinceUnixMs;
    this.heldSinceUnixMs = isHeld ? atUnixMs : null;
    if (!isHeld && since !== null) this.tally = withHold(this.tally, since, this.isBusy, atUnixMs);
  }

  question(request: Request, input: NightInput): void {
    const beliefs = this.beliefs(input.nowUnixMs);
    const spread = spreadOf(input, beliefs, { runs: RUNS, seed: ++this.questions });
    const range = spread.ranges.get(request.number);
    const chanceTonight = range?.chanceTonight ?? 0;
    const own = rangeOf(range);
    const answer: Answer = {
      number: request.number,
      questionUnixMs: input.nowUnixMs,
      start: own && chanceTonight >= LIKELY ? this.calibrated(own, input.nowUnixMs) : null,
      spread: own,
      chanceTonight,
      plain: this.plain.startsOf(request, input),
    };
    this.pending.set(request.number, [...(this.pending.get(request.number) ?? []), answer]);
  }

  private calibrated({ lowUnixMs, medianUnixMs, highUnixMs }: Range, nowUnixMs: UtcMillis): Range {
    const horizonMs = medianUnixMs - nowUnixMs;
    const { low, high } = widen(lowUnixMs, medianUnixMs, highUnixMs, horizonMs, this.calibration);
    return { lowUnixMs: Math.max(nowUnixMs, low), medianUnixMs, highUnixMs: high };
  }

  private beliefs(nowUnixMs: UtcMillis): Beliefs {
    const night = this.night ?? nightOf(nowUnixMs, this.observatory.site.timeZone);
    return learnBeliefs(this.prior, {
      nowUnixMs,
      night,
      measured: this.measured,
      requests: this.requests.values(),
      tally: this.tally,
      tallyBefore: this.tallyBefore,
      heldSinceUnixMs: this.idleSince(nowUnixMs),
    });
  }

  private idleSince(nowUnixMs: UtcMillis): UtcMillis | null {
    if (this.heldSinceUnixMs === null) return null;
    const idleUnixMs = idleSince(this.heldSinceUnixMs, this.isBusy, this.tally, nowUnixMs);
    return Math.min(nowUnixMs, Math.max(this.duskUnixMs, idleUnixMs));
  }

  private settle(number: number, fact: Fact): void {
    for (const answer of this.pending.get(number) ?? []) {
      this.judged.push({ answer, fact });
      if (fact.came === "started") this.learnFrom(answer, fact.startUnixMs);
    }
    this.pending.delete(number);
  }

  /** As the journal's scores: only where a start was foretold, not where it was plain at the asking. */
  private learnFrom({ questionUnixMs, spread, start }: Answer, actual: UtcMillis): void {
    if (start === null || spread === null || actual === questionUnixMs) return;
    const { lowUnixMs: low, medianUnixMs: median, highUnixMs: high } = spread;
    const horizonMs = median - questionUnixMs;
    const given = { low: start.lowUnixMs, high: start.highUnixMs };
    this.calibration = observe(this.calibration, { low, median, high, actual, horizonMs, given });
  }

  private change({ number }: Request, changes: Partial<Request>): void {
    const request = this.requests.get(number);
    if (request) this.requests.set(number, { ...request, ...changes });
  }
}

function rangeOf(range: StartRange | undefined): Range | null {
  const { lowUnixMs = null, medianUnixMs = null, highUnixMs = null } = range ?? {};
  if (lowUnixMs === null || medianUnixMs === null || highUnixMs === null) return null;
  return { lowUnixMs, medianUnixMs, highUnixMs };
}
