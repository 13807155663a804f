/** Requests still to come, in one run of the spread: a night like tonight asks once more. */
import { max, sum } from "d3-array";
import { type Random, seededRandom } from "../base/random.js";
import type { Millis, UtcMillis } from "../base/units.js";
import type { QueueTable } from "../queue/queue-table.js";
import { type Request, waitingRequest } from "../queue/request.js";
import type { WaitingLists } from "../queue/waiting-lists.js";
import type { ArrivalBelief, ArrivalStory, RequestShape } from "./learn/beliefs.js";
import type { NightInput } from "./night-run.js";
import type { NoisyMachines } from "./noisy-machines.js";

/** Where weights are looked up: so many equal shares of chance. */
const PICKS = 1_024;
/** Only so many arrivals are played in one run, however long the night: half more than are told of, and some. */
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
  /** Places of the shapes of each tier. */
  private readonly shapesOf: readonly (readonly number[])[];
  private readonly picks: Int32Array;
  private readonly stories: Int32Array;
  /** This run's arrivals in order of time, and which place in `tiers` each has. */
  private readonly comesUnixMs: Float64Array;
  private readonly comesTier: Int32Array;
  private shapeExposingMs = new Float64Array(0);
  private shapeOwner = new Int32Array(0);
  private drawn = 0;
  private count = 0;

  constructor(
    private readonly night: NightInput,
    private readonly belief: ArrivalBelief,
  ) {
    const { requestShapes, stories, targetMix } = belief;
    const longest = max(stories, storyLength) ?? 0;
    const any = longest > 0 && targetMix.length > 0 && requestShapes.length > 0;
    this.most = any ? Math.min(MOST_ARRIVALS, Math.ceil(1.5 * longest) + TO_SPARE) : 0;
    this.tiers = any ? [...new Set(requestShapes.map(({ tier }) => tier))] : [];
    this.shapesOf = this.tiers.map((tier) =>
      requestShapes.flatMap((shape, index) => (shape.tier === tier ? [index] : [])),
    );
    this.kinds = any ? targetMix.length * this.tiers.length : 0;
    this.picks = any ? picksOf(targetMix.map(({ weight }) => weight)) : new Int32Array(0);
    this.stories = any ? picksOf(stories.map(({ weight }) => weight)) : new Int32Array(0);
    this.comesUnixMs = new Float64Array(this.most);
    this.comesTier = new Int32Array(this.most);
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

  /** None has come yet; this run's night is picked and drawn. */
  reset(random: Random): void {
    this.random = random;
    this.count = 0;
    this.drawn = 0;
    if (this.most > 0) this.draw(this.belief.stories[this.stories[(random.uniform() * PICKS) | 0]!]!);
    this.nextUnixMs = this.comes(0);
  }

  /** Those that have come by an instant join the queue. */
  joinUntil(unixMs: UtcMillis): void {
    while (this.nextUnixMs <= unixMs) {
      this.join(this.count);
      this.nextUnixMs = this.comes(++this.count);
    }
  }

  /** When the arrival in a row came. */
  joinedUnixMs(row: number): UtcMillis {
    return this.comesUnixMs[row - this.firstArrival()]!;
  }

  private comes(place: number): UtcMillis {
    return place < this.drawn ? this.comesUnixMs[place]! : Number.POSITIVE_INFINITY;
  }

  private firstArrival(): number {
    return this.firstRow + this.kinds + this.belief.requestShapes.length;
  }

  /** A story told again, with its groups a little sooner or later and as many more or fewer as tonight has shown. */
  private draw({ groups, scale }: ArrivalStory): void {
    const { random, belief, night } = this;
    const nightMs = belief.nightSdMs * (belief.nightSdMs > 0 ? random.normal() : 0);
    const times = scale * (belief.scaleSd > 0 ? Math.exp(belief.scaleSd * random.normal()) : 1);
    const from = Math.max(night.nowUnixMs, belief.noneBeforeUnixMs ?? night.nowUnixMs);
    for (const { sdMs, aheadMs, tiers } of groups) {
      const shift = night.nowUnixMs + nightMs + (sdMs > 0 ? sdMs * random.normal() : 0);
      for (let each = 0; each < aheadMs.length; each++) {
        const unixMs = shift + aheadMs[each]!;
        if (unixMs <= from) continue;
        const copies = times === 1 ? 1 : Math.floor(times + random.uniform());
        for (let copy = 0; copy < copies && this.drawn < this.most; copy++) this.insert(unixMs, tiers[each]!);
      }
    }
  }

  /** Groups come nearly in order already. */
  private insert(unixMs: UtcMillis, tier: number): void {
    const { comesUnixMs, comesTier } = this;
    let at = this.drawn++;
    for (; at > 0 && comesUnixMs[at - 1]! > unixMs; at--) {
      comesUnixMs[at] = comesUnixMs[at - 1]!;
      comesTier[at] = comesTier[at - 1]!;
    }
    comesUnixMs[at] = Math.ceil(unixMs);
    comesTier[at] = this.tiers.indexOf(tier);
  }

  private join(place: number): void {
    const { random, table, lists, machines } = this;
    if (table === null || lists === null || machines === null) return;
    const kind = this.picks[(random.uniform() * PICKS) | 0]!;
    const { requestShapes } = this.belief;
    const own = this.shapesOf[this.comesTier[place]!];
    const chance = random.uniform();
    const shape = own ? own[(chance * own.length) | 0]! : (chance * requestShapes.length) | 0;
    const row = this.firstArrival() + place;
    const tier = this.tiers.indexOf(requestShapes[shape]!.tier);
    table.group[row] = table.group[this.firstRow + kind * this.tiers.length + tier]!;
    table.owner[row] = this.shapeOwner[shape]!;
    table.exposingMs[row] = this.shapeExposingMs[shape]!;
    machines.describe(row, requestShapes[shape]!);
    lists.add(row);
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

/** How many a story brings from now on, at its scale. */
function storyLength({ groups, scale }: ArrivalStory): number {
  const ahead = (ms: Millis): boolean => ms > 0;
  return scale * sum(groups, ({ aheadMs }) => aheadMs.filter(ahead).length);
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
