/** The forecast that commands ask: worked out once for each state and minute, from the desk's state. */
import type { Clock } from "../base/clock.js";
import type { Log } from "../base/log.js";
import type { UtcMillis } from "../base/units.js";
import type { Config } from "../config/config.js";
import { figuresOf, type RunFigures } from "../forecast/compare.js";
import { type ClassWish, type Fitting, fittingOf } from "../forecast/fitting.js";
import type { NightInput, NightRun, Step } from "../forecast/night-run.js";
import { firstStep, playNight } from "../forecast/play-night.js";
import type { SpreadPool } from "../forecast/pool.js";
import { type Precedence, whyBefore } from "../forecast/why-before.js";
import type { Desk } from "../journal/desk.js";
import type { OverheadFactors } from "../observatory/observatory.js";
import type { RuleName } from "../queue/request.js";
import { type Estimate, type ForecastService, LIKELY } from "./forecast-service.js";
import { Learning } from "./learning.js";
import { LiveSpread } from "./live-spread.js";
import { nightInput } from "./night-input.js";
import { NightKeeper } from "./night-keeper.js";
import { otherWork } from "./other-work.js";
import { queueMark } from "./queue-mark.js";
import { ScoreKeeper } from "./score-keeper.js";
import { ToldPlaces } from "./told-places.js";
import type { Tonight } from "./tonight.js";
import { WholeActions } from "./whole-actions.js";

export interface ForecastParts {
  readonly desk: Desk;
  readonly config: Config;
  readonly clock: Clock;
  /** Works spreads out; without one, estimates are those of the central run alone. */
  readonly pool?: SpreadPool;
  readonly log?: Log;
}

export interface OpenForecast extends ForecastService {
  /** Learns no more; lets the pool go. */
  close(): Promise<void>;
}

/** Opens the forecast over a desk. */
export function openForecast(parts: ForecastParts): OpenForecast {
  const live = new LiveForecast(parts);
  return {
    central: () => live.central(),
    ifLifted: () => live.ifLifted(),
    estimateIfLifted: (number) => live.estimateIfLifted(number),
    estimate: (number) => live.estimate(number),
    order: () => live.order(),
    places: () => live.places(),
    nextStep: (atUnixMs) => live.nextStep(atUnixMs),
    whyBefore: (a, b) => live.whyBefore(a, b),
    underRule: (rule) => live.underRule(rule),
    figuresUnder: (rule) => live.figuresUnder(rule),
    fitting: (wishes, fromUnixMs, untilUnixMs) => live.fitting(wishes, fromUnixMs, untilUnixMs),
    overheads: () => live.overheads(),
    settled: () => live.settled(),
    close: () => live.close(),
  };
}

/** People are told when it may run if not tonight, unless the queue is so long that playing the next night would keep them waiting. */
const LONG_QUEUE = 1_500;
/** Behind every place. */
const NO_PLACE = Number.MAX_SAFE_INTEGER;
/** Enough for a range of whole requests. */
const FITTING_RUNS = 100;

class LiveForecast {
  private readonly learning: Learning;
  private readonly spread: LiveSpread | null;
  private readonly scores: ScoreKeeper | null;
  private readonly wholeActions: WholeActions | null;
  private readonly nights: NightKeeper;
  private readonly told: ToldPlaces;
  /** The last run order with what it was made from: a long one takes its time. */
  private ordered: { readonly from: readonly unknown[]; readonly estimates: readonly Estimate[] } | null =
    null;

  constructor(private readonly parts: ForecastParts) {
    const { config, desk, pool, log } = parts;
    this.learning = new Learning(config);
    const scores = pool ? new ScoreKeeper(desk, parts.clock, log) : null;
    this.scores = scores;
    this.spread = pool
      ? new LiveSpread({
          config,
          pool,
          learning: this.learning,
          ...(log ? { log } : {}),
          onSpread: ({ ranges }, madeUnixMs) => {
            scores?.remember(ranges, madeUnixMs);
            void this.placeAhead();
          },
        })
      : null;
    this.told = new ToldPlaces(this.spread);
    this.wholeActions = pool ? new WholeActions({ desk, forecast: this, ...(log ? { log } : {}) }) : null;
    this.nights = new NightKeeper({
      state: () => desk.state,
      clock: parts.clock,
      input: (atUnixMs) => this.input(atUnixMs),
      onNight: (tonight) => {
        this.spread?.follow(tonight, desk.state);
        void this.placeAhead();
      },
    });
  }

  central(): NightRun {
    return this.tonight().run;
  }

  ifLifted(): NightRun {
    return this.tonight().ifLifted().run;
  }

  estimateIfLifted(number: number): Estimate | null {
    return this.tonight(number).ifLifted().briefly(number);
  }

  places(): ReadonlyMap<number, number> {
    return this.told.of(this.tonight());
  }

  estimate(number: number): Estimate | null {
    const { taken, waiting } = this.parts.desk.state;
    if (taken?.number === number) return observing(number, taken.takenUnixMs);
    if (!waiting.has(number)) return null;
    const tonight = this.tonight(number);
    const estimate = tonight.estimate(number);
    return estimate && this.withLater(this.refined(estimate, tonight), tonight);
  }

  order(): readonly Estimate[] {
    const tonight = this.tonight();
    const { state } = this.parts.desk;
    const from = [tonight, this.spread?.latest() ?? null, state.calibration, queueMark(state).text];
    if (this.ordered?.from.every((each, index) => each === from[index])) return this.ordered.estimates;
    const waiting = tonight.order().filter(({ number }) => state.waiting.has(number));
    const refined = waiting.map((estimate) => this.refined(estimate, tonight));
    const estimates = refined.sort((a, b) => (a.place ?? NO_PLACE) - (b.place ?? NO_PLACE));
    this.ordered = { from, estimates };
    return estimates;
  }

  nextStep(atUnixMs: UtcMillis = this.parts.clock.now()): Step {
    return firstStep(this.input(atUnixMs));
  }

  whyBefore(a: number, b: number): Precedence | null {
    return whyBefore(this.tonight().ifLifted().input, a, b);
  }

  underRule(rule: RuleName): NightRun {
    return this.tonight().underRule(rule).run;
  }

  figuresUnder(rule: RuleName): RunFigures {
    const tonight = this.tonight();
    if (tonight.input.holdUntilUnixMs !== Number.POSITIVE_INFINITY)
      return figuresOf(tonight.underRule(rule).run, tonight.input);
    const input = { ...tonight.input, rule, holdUntilUnixMs: null };
    return figuresOf(playNight(input), input);
  }

  fitting(wishes: readonly ClassWish[], fromUnixMs: UtcMillis, untilUnixMs: UtcMillis): Fitting {
    const { desk, config, clock } = this.parts;
    const { state } = desk;
    return fittingOf(wishes, fromUnixMs, untilUnixMs, {
      observatory: config.observatory,
      beliefs: this.learning.beliefs(state, clock.now()),
      options: { runs: FITTING_RUNS, seed: config.forecast.seed },
    });
  }

  overheads(): OverheadFactors {
    return this.learning.overheads(this.parts.desk.state);
  }

  async settled(): Promise<void> {
    this.tonight();
    await this.nights.settled();
    await this.spread?.settled();
  }

  async close(): Promise<void> {
    this.nights.stop();
    this.spread?.stop();
    this.scores?.stop();
    this.wholeActions?.stop();
    await this.parts.pool?.close();
  }

  private tonight(number?: number): Tonight {
    return this.nights.tonight(number);
  }

  private input(atUnixMs: UtcMillis): NightInput {
    return nightInput(this.parts.desk.state, this.parts.config, atUnixMs, this.overheads());
  }

  private withLater(estimate: Estimate, tonight: Tonight): Estimate {
    const unlikely = estimate.turn !== null && estimate.chanceTonight < LIKELY;
    if (!unlikely || tonight.input.waiting.length > LONG_QUEUE) return estimate;
    return { ...estimate, laterUnixMs: tonight.ifNotTonight(estimate.number) };
  }

  private refined(estimate: Estimate, tonight: Tonight): Estimate {
    const refined = this.spread?.refine(estimate, tonight, this.parts.desk.state) ?? estimate;
    const place = this.told.of(tonight).get(estimate.number);
    return place === undefined ? refined : { ...refined, place };
  }

  /** The places of a long queue take their time: they are at hand before anyone asks. */
  private async placeAhead(): Promise<void> {
    await otherWork();
    const tonight = this.nights.latest();
    if (tonight !== null && tonight.run.turns.length > LONG_QUEUE) this.told.of(tonight);
  }
}

/** Place 0: it has started already. */
function observing(number: number, takenUnixMs: UtcMillis): Estimate {
  return {
    number,
    place: 0,
    startUnixMs: takenUnixMs,
    earliestUnixMs: takenUnixMs,
    latestUnixMs: takenUnixMs,
    chanceTonight: 1,
    altitudeDegrees: null,
    turn: null,
    noTurn: null,
    laterUnixMs: null,
  };
}
