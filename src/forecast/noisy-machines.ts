/** The machines in one run of the spread: each action takes as long as chance has it. Nothing is allocated in a run. */
import { type Random, seededRandom } from "../base/random.js";
import { type Millis, SECOND, type UtcMillis } from "../base/units.js";
import { domeSeconds, slewSeconds } from "../observatory/action-times.js";
import { Aiming } from "../observatory/aim.js";
import { wheelSlots, wheelSteps } from "../observatory/axis.js";
import type { Observatory, Pointing } from "../observatory/observatory.js";
import type { Durations } from "../queue/moment.js";
import type { QueueTable } from "../queue/queue-table.js";
import type { Request } from "../queue/request.js";
import type { Track } from "../sky/track.js";
import {
  type Beliefs,
  COMPONENTS,
  type Component,
  factorsOf,
  type OverheadBeliefs,
} from "./learn/beliefs.js";
import { Machines } from "./machines.js";

/** Deviates kept for each component, drawn once: a power of two. */
const DEVIATES = 1_024;
/** Places of the components, in the order of `COMPONENTS`. */
const [SLEW, DOME, FILTER, SHUTTER, SETTLE, READ_OUT, HAND_OVER] =
  COMPONENTS.keys() as unknown as number[] as [number, number, number, number, number, number, number];

export class NoisyMachines implements Durations {
  readonly shortestReadyMs: Millis;
  readonly longestReadyMs: Millis;
  readonly handOverMs: Millis;
  private readonly aiming: Aiming;
  private readonly slot: Int32Array;
  private readonly frames: Int32Array;
  private readonly openShutterMs: Float64Array;
  private readonly slots: ReadonlyMap<string, number>;
  private readonly wheel: number;
  /** Multiples for single actions, `DEVIATES` for each component in turn; the factor of the run comes on top. */
  private readonly multiples: Float64Array;
  private readonly typical: Float64Array;
  private readonly runFactor = new Float64Array(COMPONENTS.length).fill(1);
  /** Every action takes its typical time. */
  readonly exact: boolean;
  private random: Random = seededRandom(0);
  // Where the machines stand.
  private readonly pointing: { -readonly [Name in keyof Pointing]: Pointing[Name] };

  constructor(
    private readonly observatory: Observatory,
    private readonly beliefs: Beliefs,
    private readonly table: QueueTable,
    private readonly startPointing: Pointing,
  ) {
    const factors = factorsOf(beliefs);
    const usual = new Machines(observatory, factors, startPointing);
    this.shortestReadyMs = usual.shortestReadyMs;
    this.longestReadyMs = usual.longestReadyMs;
    this.handOverMs = usual.handOverMs;
    this.aiming = new Aiming(observatory);
    this.pointing = { ...startPointing };
    this.slots = new Map(observatory.camera.filters.map((filter) => [filter.name, filter.slot]));
    this.wheel = wheelSlots(observatory.camera);
    this.slot = new Int32Array(table.requests.length);
    this.frames = new Int32Array(table.requests.length);
    this.openShutterMs = new Float64Array(table.requests.length);
    for (const [row, request] of table.requests.entries()) this.describe(row, request);
    this.typical = Float64Array.from(COMPONENTS, (name) => factors[name]);
    this.multiples = multiplesOf(beliefs.overheads);
    this.exact = COMPONENTS.every((name) => {
      const { logSd, logMeanSd } = beliefs.overheads.components[name];
      return logSd === 0 && logMeanSd === 0;
    });
  }

  /** What a row asks for; may be changed from run to run for rows that stand for arrivals. */
  describe(
    row: number,
    { filter, frames, exposureSeconds }: Pick<Request, "filter" | "frames" | "exposureSeconds">,
  ): void {
    this.slot[row] = this.slots.get(filter) ?? -1;
    this.frames[row] = frames;
    this.openShutterMs[row] = frames * Math.round(exposureSeconds * SECOND);
  }

  /** Back to the start of the night, with this run's luck. */
  reset(random: Random): void {
    const { startPointing, beliefs } = this;
    this.random = random;
    Object.assign(this.pointing, startPointing);
    if (this.exact) return;
    for (let part = 0; part < COMPONENTS.length; part++) {
      const { logMeanSd } = beliefs.overheads.components[COMPONENTS[part]!];
      this.runFactor[part] = Math.exp(logMeanSd * random.normal());
    }
  }

  /** The telescope does a row, beginning at an instant; returns how long that takes, and stands there afterwards. */
  act(row: number, unixMs: UtcMillis): Millis {
    const { aiming, observatory } = this;
    const track = this.trackOf(row);
    aiming.start(track, unixMs);
    const ready = this.movedMs(row, true) + this.timed(SETTLE, observatory.mount.settleSeconds);
    const readOut = this.timed(READ_OUT, observatory.camera.readOutSeconds);
    const handOver = this.timed(HAND_OVER, observatory.handOverSeconds);
    const frames = this.openShutterMs[row]! + this.frames[row]! * readOut;
    const total = ready + frames + handOver + this.stuckMs();
    aiming.follow(track, unixMs + total);
    this.stand(Math.max(0, this.slot[row]!));
    return total;
  }

  /** As the telescope itself expects it. */
  readyMs(row: number, unixMs: UtcMillis): Millis {
    this.aiming.start(this.trackOf(row), unixMs);
    return this.movedMs(row, false) + this.shortestReadyMs;
  }

  /** A multiple as it may come out for one action, beside the typical one; for the one that is under way. */
  anyMultiple(component: Component): number {
    const part = COMPONENTS.indexOf(component);
    return this.multiple(part) / this.typical[part]!;
  }

  /** What it takes longer by when something sticks; 0 nearly always. */
  stuckMs(): Millis {
    const { chancePerAction, meanExtraMs } = this.beliefs.overheads.stuck;
    if (chancePerAction === 0 || this.random.uniform() >= chancePerAction) return 0;
    return Math.round(this.random.exponential(meanExtraMs));
  }

  /** The slowest of mount, dome, wheel and shutter. */
  private movedMs(row: number, byChance: boolean): Millis {
    const { mount, dome, camera } = this.observatory;
    const { pointing } = this;
    const { aim } = this.aiming;
    let slowest = this.partMs(SLEW, slewSeconds(pointing, aim, mount), byChance);
    if (dome !== null) {
      const turn = domeSeconds(pointing, aim, dome.rotation);
      slowest = Math.max(slowest, this.partMs(DOME, turn, byChance));
      if (!pointing.shutterOpen)
        slowest = Math.max(slowest, this.partMs(SHUTTER, dome.shutterSeconds, byChance));
    }
    const slot = this.slot[row]!;
    const steps = slot < 0 ? this.wheel >> 1 : wheelSteps(pointing.filterSlot, slot, this.wheel);
    if (steps === 0) return slowest;
    return Math.max(slowest, this.partMs(FILTER, steps * camera.filterStepSeconds, byChance));
  }

  /** Where the aim is, with a filter in. */
  private stand(filterSlot: number): void {
    const { pointing } = this;
    const { aim } = this.aiming;
    pointing.firstAxisDegrees = aim.firstAxisDegrees;
    pointing.secondAxisDegrees = aim.secondAxisDegrees;
    pointing.domeAzimuthDegrees = aim.domeAzimuthDegrees;
    pointing.flipped = aim.flipped;
    pointing.filterSlot = filterSlot;
    pointing.shutterOpen = true;
  }

  private trackOf(row: number): Track {
    return this.table.groups[this.table.group[row]!]!.night.track;
  }

  private partMs(part: number, seconds: number, byChance: boolean): Millis {
    return byChance ? this.timed(part, seconds) : Math.round(seconds * SECOND * this.typical[part]!);
  }

  private timed(part: number, seconds: number): Millis {
    return Math.round(seconds * SECOND * this.multiple(part));
  }

  private multiple(part: number): number {
    if (this.exact) return this.typical[part]!;
    const pick = (this.random.uniform() * DEVIATES) | 0;
    return this.multiples[part * DEVIATES + pick]! * this.runFactor[part]!;
  }
}

/** Log-normal multiples from one set of standard normal deviates, of mean 0 and standard deviation 1 exactly. */
function multiplesOf({ components }: OverheadBeliefs): Float64Array {
  const deviates = standardDeviates();
  const multiples = new Float64Array(COMPONENTS.length * DEVIATES);
  COMPONENTS.forEach((name, part) => {
    const { logMean, logSd } = components[name];
    deviates.forEach((deviate, index) => {
      multiples[part * DEVIATES + index] = Math.exp(logMean + logSd * deviate);
    });
  });
  return multiples;
}

let deviatesMade: Float64Array | null = null;

function standardDeviates(): Float64Array {
  if (deviatesMade) return deviatesMade;
  const { normal } = seededRandom(1);
  const half = Float64Array.from({ length: DEVIATES / 2 }, () => normal());
  const both = Float64Array.from({ length: DEVIATES }, (_, index) =>
    index < half.length ? half[index]! : -half[index - half.length]!,
  );
  const sd = Math.sqrt(both.reduce((sum, deviate) => sum + deviate * deviate, 0) / DEVIATES);
  deviatesMade = both.map((deviate) => deviate / sd);
  return deviatesMade;
}
