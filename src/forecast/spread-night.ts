/** One night played many times: the same ordering rules as the central run, with chance in everything else. */
import { type Random, seededRandom } from "../base/random.js";
import { HOUR, type Millis, SECOND, type UtcMillis } from "../base/units.js";
import { choose } from "../queue/choose.js";
import { Moment } from "../queue/moment.js";
import { NONE, type QueueTable, queueTable } from "../queue/queue-table.js";
import { orderingRules } from "../queue/rules/all-rules.js";
import type { OrderingRule } from "../queue/rules/ordering-rule.js";
import { targetNights } from "../queue/target-night.js";
import { WaitingLists } from "../queue/waiting-lists.js";
import { waitForHeight } from "../queue/worth-waiting.js";
import { Arrivals } from "./arrivals.js";
import { courseOf } from "./follow-plan.js";
import { Interruptions } from "./interruptions.js";
import { type Beliefs, factorsOf } from "./learn/beliefs.js";
import { Machines } from "./machines.js";
import type { NightInput } from "./night-run.js";
import { NoisyMachines } from "./noisy-machines.js";

/** An action that is overdue takes at least about so much longer; the tail of how long. */
const LEAST_LATE: Millis = 5 * SECOND;
const LATE_TAIL = 1.4;

export class SpreadNight {
  /** Waiting requests by row, in order of asking. */
  readonly numbers: readonly number[];
  private readonly table: QueueTable;
  private readonly lists: WaitingLists;
  private readonly moment: Moment;
  private readonly machines: NoisyMachines;
  private readonly arrivals: Arrivals;
  private readonly interruptions: Interruptions;
  private readonly rule: OrderingRule;
  private readonly rows: number;

  constructor(
    private readonly input: NightInput,
    private readonly beliefs: Beliefs,
  ) {
    const { observatory, nowUnixMs, untilUnixMs, waiting } = input;
    this.rows = waiting.length;
    this.arrivals = new Arrivals(input, beliefs.arrivals);
    const usual = new Machines(observatory, factorsOf(beliefs), input.pointing);
    this.table = queueTable(
      [...waiting, ...this.arrivals.standIns],
      targetNights(nowUnixMs, observatory),
      (request) => usual.exposingMs(request),
    );
    this.numbers = this.table.requests.slice(0, this.rows).map(({ number }) => number);
    this.lists = new WaitingLists(this.table, input.takenTonight, this.rows);
    this.machines = new NoisyMachines(observatory, beliefs, this.table, input.pointing);
    this.moment = new Moment(this.table, this.lists, this.machines, observatory.site, untilUnixMs);
    waitForHeight(this.moment, input.worthwhileAltitudeDegrees);
    this.interruptions = new Interruptions(input, beliefs.interruptions);
    this.arrivals.attach(this.table, this.lists, this.machines, this.rows);
    this.rule = orderingRules[input.rule];
    if (input.rule === "planned") this.moment.course = courseOf(input, this.moment, usual, true);
  }

  /**
   * Plays one run and writes each waiting row's start to `starts[row × stride + column]`, NaN for none tonight.
   * The same seed and column give the same run, whichever runs come before it.
   */
  play(seed: number, column: number, starts: Float64Array, stride: number): void {
    const random = seededRandom(runSeed(seed, column));
    this.lists.reset();
    this.moment.reset();
    this.machines.reset(random);
    this.interruptions.reset(random);
    this.arrivals.reset(random);
    for (let row = 0; row < this.rows; row++) starts[row * stride + column] = Number.NaN;
    let left = this.rows;
    let unixMs = this.begin(random);
    let busySinceUnixMs = this.input.nowUnixMs;
    while (unixMs < this.input.untilUnixMs && left > 0) {
      const openUnixMs = this.interruptions.openFrom(unixMs, busySinceUnixMs);
      if (openUnixMs > unixMs) {
        unixMs = openUnixMs;
        busySinceUnixMs = unixMs;
        continue;
      }
      this.arrivals.joinUntil(unixMs);
      this.moment.moveTo(unixMs);
      const row = choose(this.moment, this.rule);
      if (row === NONE) {
        unixMs = Math.max(unixMs + 1, Math.min(this.moment.nextChange(), this.arrivals.nextUnixMs));
        busySinceUnixMs = unixMs;
        continue;
      }
      this.lists.remove(row);
      const place = row * stride + column;
      if (row < this.rows && Number.isNaN(starts[place]!)) {
        starts[place] = unixMs;
        left--;
      }
      if (this.isWithdrawn(row, unixMs, random)) continue;
      this.lists.count(row);
      busySinceUnixMs = unixMs;
      unixMs += this.machines.act(row, unixMs);
      if (this.fails(random)) this.lists.add(row);
    }
  }

  /** When the telescope is free and no hold stands; what is under way ends a little sooner or later than planned. */
  private begin(random: Random): UtcMillis {
    const { nowUnixMs, current, holdUntilUnixMs } = this.input;
    const hold = Number.isFinite(holdUntilUnixMs ?? 0) ? (holdUntilUnixMs ?? nowUnixMs) : nowUnixMs;
    return Math.ceil(Math.max(nowUnixMs, current ? this.currentFree(current, random) : nowUnixMs, hold));
  }

  /**
   * Until the exposures have begun their beginning is uncertain, until the hand-over its length is; one that is overdue
   * has met with something, and the longer it has taken the longer it may still take (Pareto, exponent 1.4).
   */
  private currentFree(
    { request, freeUnixMs }: NonNullable<NightInput["current"]>,
    random: Random,
  ): UtcMillis {
    const { nowUnixMs } = this.input;
    const { takenUnixMs, frames, exposureSeconds } = request;
    const lateMs = nowUnixMs - freeUnixMs;
    if (lateMs >= 0 && this.machines.exact) return nowUnixMs;
    if (lateMs >= 0)
      return nowUnixMs + Math.max(LEAST_LATE, lateMs) * ((1 - random.uniform()) ** (-1 / LATE_TAIL) - 1);
    if (takenUnixMs === null) return freeUnixMs;
    const { machines } = this;
    const handOverMs = machines.handOverMs * (machines.anyMultiple("handOver") - 1);
    const movingMs = freeUnixMs - takenUnixMs - frames * exposureSeconds * SECOND - machines.handOverMs;
    const moves = nowUnixMs < takenUnixMs + movingMs;
    const slowerMs = moves ? movingMs * (machines.anyMultiple("dome") - 1) + machines.stuckMs() : 0;
    return Math.max(nowUnixMs, freeUnixMs + handOverMs + slowerMs);
  }

  /** Withdrawn by the time its turn comes: it takes no time, and its owner's question was when it would have come. */
  private isWithdrawn(row: number, unixMs: UtcMillis, random: Random): boolean {
    const { withdrawalsPerHour } = this.beliefs;
    if (withdrawalsPerHour === 0) return false;
    const sinceUnixMs = row < this.rows ? this.input.nowUnixMs : this.arrivals.joinedUnixMs(row);
    const waitedHours = (unixMs - sinceUnixMs) / HOUR;
    return random.uniform() < 1 - Math.exp(-withdrawalsPerHour * waitedHours);
  }

  private fails(random: Random): boolean {
    const { failureFraction } = this.beliefs;
    return failureFraction > 0 && random.uniform() < failureFraction;
  }
}

function runSeed(seed: number, run: number): number {
  const mixed = Math.imul(seed ^ Math.imul(run + 1, 0x9e3779b1), 0x85ebca6b);
  return (mixed ^ (mixed >>> 15)) >>> 0;
}
