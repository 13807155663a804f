/** The forecast that commands ask: worked out once for each state and minute, from the desk's state. */
import type { Clock } from "../base/clock.js";
import type { Log } from "../base/log.js";
import type { UtcMillis } from "../base/units.js";
import type { Config } from "../config/config.js";
import { type ClassWish, type Fitting, fittingOf } from "../forecast/fitting.js";
import type { NightInput } from "../forecast/night-run.js";
import { firstStep, playNight, workNow } from "../forecast/play-night.js";
import { type SpreadPool, spreadHere } from "../forecast/pool.js";
import { figuresOf, type RunFigures } from "../forecast/run-figures.js";
import { whyBefore } from "../forecast/why-before.js";
import type { Desk } from "../journal/desk.js";
import type { State } from "../journal/state.js";
import type { RuleName } from "../queue/request.js";
import { type Estimate, type ForecastService, LIKELY } from "./forecast-service.js";
import type { ForeseenNight } from "./foreseen-night.js";
import { Learning } from "./learning.js";
import { LiveSpread } from "./live-spread.js";
import { isNext } from "./next-in-line.js";
import { nightInput } from "./night-input.js";
import { NightKeeper } from "./night-keeper.js";
import { otherWork } from "./other-work.js";
import { PlacesAsTold } from "./places-as-told.js";
import { PlanKeeper } from "./plan-keeper.js";
import { queueMark } from "./queue-mark.js";
import { ScoreKeeper } from "./score-keeper.js";
import { WholeActions } from "./whole-actions.js";

export interface ForecastParts {
  readonly desk: Desk;
  readonly config: Config;
  readonly clock: Clock;
  /** What the journal has taught; default: learned by the forecast alone. */
  readonly learning?: Learning;
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
  const { desk, clock, pool } = parts;
  const learning = parts.learning ?? new Learning(parts.config);
  const scores = pool ? new ScoreKeeper(desk, clock, parts.log) : null;
  const wholeActions = pool ? new WholeActions({ ...parts, learning }) : null;
  const spread = pool
    ? new LiveSpread({
        ...{ ...parts, pool, learning },
        onSpread: (baseline, madeUnixMs) => {
          scores?.remember(baseline, madeUnixMs);
          void placeAhead();
        },
      })
    : null;
  const inputAt = (unixMs: UtcMillis): NightInput => ({
    ...nightInput(desk.state, parts.config, unixMs, learning.overheads(desk.state)),
    plan: plans.current(),
  });
  const plans = new PlanKeeper({
    ...parts,
    input: () => inputAt(clock.now()),
    planner: pool ? (input) => pool.plan(input) : null,
  });
  plans.follow();
  const nights = new NightKeeper({
    state: () => desk.state,
    clock,
    input: inputAt,
    onNight: (tonight) => {
      plans.look(tonight.run);
      spread?.follow(tonight, desk.state);
      void placeAhead();
    },
  });
  const places = new PlacesAsTold(spread);
  /** The places of a long queue take their time: they are at hand before anyone asks. */
  const placeAhead = async (): Promise<void> => {
    await otherWork();
    const tonight = nights.latest();
    if (tonight !== null && tonight.run.turns.length > LONG_QUEUE) places.of(tonight);
  };
  const estimates = new Estimates(desk, spread, places);
  return {
    central: () => nights.tonight().run,
    ifLifted: () => nights.tonight().ifLifted().run,
    estimateIfLifted: (number) => nights.tonight(number).ifLifted().briefly(number),
    estimate: (number) => estimates.one(number, () => nights.tonight(number)),
    order: () => estimates.all(nights.tonight()),
    places: () => places.of(nights.tonight()),
    nextStep: (atUnixMs = clock.now(), number) => {
      const input = inputAt(atUnixMs);
      return firstStep(number === undefined ? input : alone(input, number));
    },
    workAt: (request, unixMs) => workNow(inputAt(unixMs), request),
    whyBefore: (a, b) => whyBefore(asItWas(nights.tonight().ifLifted().input, desk.state, [a, b]), a, b),
    startWithoutWait: (number) => startWithoutWait(nights.tonight().input, number),
    underRule: (rule) => nights.tonight().underRule(rule).run,
    figuresUnder: (rule) => figuresUnder(nights.tonight(), rule, pool),
    fitting: (wishes, fromUnixMs, untilUnixMs) =>
      fitting({ ...parts, learning }, wishes, fromUnixMs, untilUnixMs),
    overheads: () => learning.overheads(desk.state),
    settled: async () => {
      await plans.settled();
      nights.tonight();
      await nights.settled();
      await spread?.settled();
    },
    close: async () => {
      for (const each of [plans, nights, spread, scores, wholeActions]) each?.stop();
      await pool?.close();
    },
  };
}

function alone(input: NightInput, number: number): NightInput {
  return { ...input, waiting: input.waiting.filter((request) => request.number === number) };
}

function startWithoutWait(input: NightInput, number: number): UtcMillis | null {
  const waiting = input.waiting.map((request) =>
    request.number === number
      ? { ...request, notBeforeUnixMs: request.best?.notBeforeUnixMs ?? null }
      : request,
  );
  const turn = playNight({ ...input, waiting }).turns.find((each) => each.number === number);
  return turn?.takenUnixMs ?? null;
}

/** The night as it was when the one under way was taken, if it is that one that is asked about. */
function asItWas(input: NightInput, { requests, taken }: State, asked: readonly number[]): NightInput {
  const request = taken && asked.includes(taken.number) ? requests.get(taken.number) : undefined;
  if (taken === null || request === undefined) return input;
  const { waiting, plan } = input;
  return {
    ...input,
    nowUnixMs: taken.takenUnixMs,
    current: null,
    waiting: [...waiting, request],
    ...(plan ? { plan: { ...plan, order: [taken.number, ...plan.order] } } : {}),
  };
}

/** People are told when it may run if not tonight, unless the queue is so long that playing the next night would keep them waiting. */
const LONG_QUEUE = 1_500;
/** Behind every place. */
const NO_PLACE = Number.MAX_SAFE_INTEGER;
/** Enough for a range of whole requests. */
const FITTING_RUNS = 100;

/** The central run's estimates with median, range, chance and place, as people are told them. */
class Estimates {
  /** The last run order with what it was made from: a long one takes its time. */
  private ordered: { readonly from: readonly unknown[]; readonly estimates: readonly Estimate[] } | null =
    null;

  constructor(
    private readonly desk: Desk,
    private readonly spread: LiveSpread | null,
    private readonly places: PlacesAsTold,
  ) {}

  /** null for a request that is not waiting or taken. @param night asked for only when it waits */
  one(number: number, night: () => ForeseenNight): Estimate | null {
    const { taken, waiting } = this.desk.state;
    if (taken?.number === number) return observing(number, taken.takenUnixMs);
    if (!waiting.has(number)) return null;
    const tonight = night();
    const estimate = tonight.estimate(number);
    return estimate && withLater(this.refined(estimate, tonight), tonight);
  }

  /** In order of place, those without one last. */
  all(tonight: ForeseenNight): readonly Estimate[] {
    const { state } = this.desk;
    const from = [
      tonight,
      this.spread?.latest() ?? null,
      state.calibration,
      state.night,
      queueMark(state).text,
    ];
    if (this.ordered?.from.every((each, index) => each === from[index])) return this.ordered.estimates;
    const waiting = tonight.order().filter(({ number }) => state.waiting.has(number));
    const refined = waiting.map((estimate) => this.refined(estimate, tonight));
    const estimates = refined.sort((a, b) => (a.place ?? NO_PLACE) - (b.place ?? NO_PLACE));
    this.ordered = { from, estimates };
    return estimates;
  }

  private refined(estimate: Estimate, tonight: ForeseenNight): Estimate {
    const refined = this.spread?.refine(estimate, tonight, this.desk.state) ?? estimate;
    const place = this.places.of(tonight).get(estimate.number);
    if (place === undefined) return refined;
    const placed = { ...refined, place };
    return isNext(placed, tonight) ? { ...placed, next: true } : placed;
  }
}

function withLater(estimate: Estimate, tonight: ForeseenNight): Estimate {
  const unlikely = estimate.turn !== null && estimate.chanceTonight < LIKELY;
  if (!unlikely || tonight.input.waiting.length > LONG_QUEUE) return estimate;
  return { ...estimate, laterUnixMs: tonight.ifNotTonight(estimate.number) };
}

/** A hold without an end is taken to end now. What `planned` would do is planned first, elsewhere. */
async function figuresUnder(
  tonight: ForeseenNight,
  rule: RuleName,
  pool: SpreadPool | undefined,
): Promise<RunFigures> {
  const held = tonight.input.holdUntilUnixMs === Number.POSITIVE_INFINITY;
  if (!held && (rule !== "planned" || tonight.input.rule === rule))
    return figuresOf(tonight.underRule(rule).run, tonight.input);
  const input = { ...tonight.input, rule, holdUntilUnixMs: held ? null : tonight.input.holdUntilUnixMs };
  const plan = rule === "planned" ? { plan: await (pool ?? spreadHere).plan(input) } : {};
  return figuresOf(playNight({ ...input, ...plan }), input);
}

function fitting(
  { desk, config, clock, learning }: ForecastParts & { readonly learning: Learning },
  wishes: readonly ClassWish[],
  fromUnixMs: UtcMillis,
  untilUnixMs: UtcMillis,
): Fitting {
  return fittingOf(wishes, fromUnixMs, untilUnixMs, {
    observatory: config.observatory,
    worthwhileAltitudeDegrees: config.queue.worthwhileAltitudeDegrees,
    beliefs: learning.beliefs(desk.state, clock.now()),
    options: { runs: FITTING_RUNS, seed: config.forecast.seed },
  });
}

/** Place 0: it has started already. */
function observing(number: number, takenUnixMs: UtcMillis): Estimate {
  return {
    ...{ number, place: 0, chanceTonight: 1 },
    ...{ startUnixMs: takenUnixMs, earliestUnixMs: takenUnixMs, latestUnixMs: takenUnixMs },
    ...{ altitudeDegrees: null, turn: null, noTurn: null, laterUnixMs: null },
  };
}
