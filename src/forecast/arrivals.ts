/** Requests still to come, in one run of the spread: drawn as the class has asked so far. */
import { max, sum } from "d3-array";
import { type Random, seededRandom } from "../base/random.js";
import { HOUR, type UtcMillis } from "../base/units.js";
import type { QueueTable } from "../queue/queue-table.js";
import { type Request, waitingRequest } from "../queue/request.js";
import type { WaitingLists } from "../queue/waiting-lists.js";
import type { ArrivalBelief, RequestShape } from "./learn/beliefs.js";
import { gammaOfMeanOne } from "./learn/gamma.js";
import type { NightInput } from "./night-run.js";
import type { NoisyMachines } from "./noisy-machines.js";

/** Where the weights of the target mix are looked up. */
const PICKS = 1_024;
/** Only so many arrivals are played in one run, however long the night: twice what is expected, and some. */
const MOST_ARRIVALS = 600;
const TO_SPARE = 20;

export class Arrivals {
  /** Requests for the queue table: one for each kind that may come, then one for each arrival in a run. */
  readonly standIns: readonly Request[];
  /** When the next one comes; Infinity when none does. */
  nextUnixMs: UtcMillis = Number.POSITIVE_INFINITY;
  private random: Random = seededRandom(0);
  private table: QueueTable | null = null;
  private lists: WaitingLists | null = null;
  private machines: NoisyMachines | null = null;
  private firstRow = 0;
  private readonly most: number;
  private readonly kinds: number;
  private readonly tiers: readonly number[];
  private readonly shapeTier: Int32Array;
  private readonly picks: Int32Array;
  private readonly joined: Float64Array;
  private shapeExposingMs = new Float64Array(0);
  private shapeOwner = new Int32Array(0);
  private count = 0;
  private rateFactor = 1;

  constructor(
    private readonly night: NightInput,
    private readonly belief: ArrivalBelief,
  ) {
    const { requestShapes, targetMix } = belief;
    const expected = expectedArrivals(belief, night.untilUnixMs - night.nowUnixMs);
    const any = expected > 0 && targetMix.length > 0 && requestShapes.length > 0;
    this.most = any ? Math.min(MOST_ARRIVALS, Math.ceil(2 * expected) + TO_SPARE) : 0;
    this.tiers = any ? [...new Set(requestShapes.map(({ tier }) => tier))] : [];
    this.shapeTier = Int32Array.from(any ? requestShapes : [], ({ tier }) => this.tiers.indexOf(tier));
    this.kinds = any ? targetMix.length * this.tiers.length : 0;
    this.picks = any ? picksOf(targetMix.map(({ weight }) => weight)) : new Int32Array(0);
    this.joined = new Float64Array(this.most);
    this.standIns = any ? this.makeStandIns() : [];
  }

  /** Told where its rows are: `firstRow` is the one of the first stand-in. */
  attach(table: QueueTable, lists: WaitingLists, machines: NoisyMachines, firstRow: number): void {
    this.table = table;
    this.lists = lists;
    this.machines = machines;
    this.firstRow = firstRow;
    // One stand-in of each shape follows the kinds, so that its exposures and owner are in the table.
    const shapes = this.most === 0 ? [] : this.belief.requestShapes;
    this.shapeExposingMs = Float64Array.from(
      shapes,
      (_, index) => table.exposingMs[firstRow + this.kinds + index]!,
    );
    this.shapeOwner = Int32Array.from(shapes, (_, index) => table.owner[firstRow + this.kinds + index]!);
  }

  /** None has come yet; this run's rate is drawn from what is believed of it. */
  reset(random: Random): void {
    this.random = random;
    this.count = 0;
    this.nextUnixMs = Number.POSITIVE_INFINITY;
    if (this.most === 0) return;
    this.rateFactor = gammaOfMeanOne(this.belief.rateShape, random);
    const { nowUnixMs } = this.night;
    this.nextUnixMs = this.after(Math.max(nowUnixMs, this.belief.noneBeforeUnixMs ?? nowUnixMs));
  }

  /** Those that have come by an instant join the queue. */
  joinUntil(unixMs: UtcMillis): void {
    while (this.nextUnixMs <= unixMs && this.count < this.most) {
      this.join(this.nextUnixMs);
      this.nextUnixMs = this.count < this.most ? this.after(this.nextUnixMs) : Number.POSITIVE_INFINITY;
    }
  }

  /** When the arrival in a row came. */
  joinedUnixMs(row: number): UtcMillis {
    return this.joined[row - this.firstArrival()]!;
  }

  private firstArrival(): number {
    return this.firstRow + this.kinds + this.belief.requestShapes.length;
  }

  private join(unixMs: UtcMillis): void {
    const { random, table, lists, machines } = this;
    if (table === null || lists === null || machines === null) return;
    const kind = this.picks[(random.uniform() * PICKS) | 0]!;
    const shape = (random.uniform() * this.belief.requestShapes.length) | 0;
    const row = this.firstArrival() + this.count;
    this.joined[this.count++] = unixMs;
    table.group[row] = table.group[this.firstRow + kind * this.tiers.length + this.shapeTier[shape]!]!;
    table.owner[row] = this.shapeOwner[shape]!;
    table.exposingMs[row] = this.shapeExposingMs[shape]!;
    machines.describe(row, this.belief.requestShapes[shape]!);
    lists.add(row);
  }

  /** The next arrival after an instant: Poisson, at a rate that changes from hour to hour. */
  private after(unixMs: UtcMillis): UtcMillis {
    const { perHourAhead } = this.belief;
    const { nowUnixMs, untilUnixMs } = this.night;
    let left = this.random.exponential(1);
    for (let at = unixMs; at < untilUnixMs; ) {
      const hour = Math.floor((at - nowUnixMs) / HOUR);
      const last = hour >= perHourAhead.length - 1;
      const rate = (perHourAhead[Math.min(hour, perHourAhead.length - 1)] ?? 0) * this.rateFactor;
      const endUnixMs = last ? untilUnixMs : nowUnixMs + (hour + 1) * HOUR;
      const within = (rate * (endUnixMs - at)) / HOUR;
      if (left <= within) return Math.ceil(at + (left / rate) * HOUR);
      left -= within;
      at = endUnixMs;
    }
    return Number.POSITIVE_INFINITY;
  }

  private makeStandIns(): readonly Request[] {
    const { requestShapes, targetMix } = this.belief;
    const shape = requestShapes[0]!;
    const asked = max(this.night.waiting, (each) => each.askedUnixMs) ?? 0;
    const highest = max(this.night.waiting, (each) => each.number) ?? 0;
    let made = 0;
    const standIn = (target: Request["target"], like: RequestShape, tier = like.tier): Request =>
      waitingRequest({
        filter: like.filter,
        exposureSeconds: like.exposureSeconds,
        frames: like.frames,
        owner: like.owner,
        tier,
        target,
        number: highest + ++made,
        notBeforeUnixMs: null,
        askedUnixMs: Math.max(asked, this.night.nowUnixMs) + made,
      });
    const first = targetMix[0]!.target;
    return [
      ...targetMix.flatMap(({ target }) => this.tiers.map((tier) => standIn(target, shape, tier))),
      ...requestShapes.map((each) => standIn(first, each)),
      ...Array.from({ length: this.most }, () => standIn(first, shape)),
    ];
  }
}

function expectedArrivals({ perHourAhead }: ArrivalBelief, lengthMs: number): number {
  let expected = 0;
  for (let hour = 0; hour * HOUR < lengthMs; hour++) {
    const rate = perHourAhead[Math.min(hour, perHourAhead.length - 1)] ?? 0;
    expected += rate * Math.min(1, (lengthMs - hour * HOUR) / HOUR);
  }
  return expected;
}

/** For each of `PICKS` equal shares of chance, the index that it falls to. */
function picksOf(weights: readonly number[]): Int32Array {
  const total = sum(weights);
  const picks = new Int32Array(PICKS);
  let index = 0;
  let reached = weights[0] ?? 0;
  for (let pick = 0; pick < PICKS; pick++) {
    while (index < weights.length - 1 && ((pick + 0.5) / PICKS) * total > reached)
      reached += weights[++index]!;
    picks[pick] = index;
  }
  return picks;
}
