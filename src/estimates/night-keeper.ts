/** Keeps tonight's central run: worked out at once for a class's queue, in the background for one of thousands. */
import type { Clock } from "../base/clock.js";
import { MINUTE, type UtcMillis } from "../base/units.js";
import type { NightInput } from "../forecast/night-run.js";
import { nightInSlices } from "../forecast/play-night.js";
import type { State } from "../journal/state.js";
import { ForeseenNight } from "./foreseen-night.js";
import { otherWork } from "./other-work.js";
import { type QueueMark, queueMark, sameMark } from "./queue-mark.js";

export interface NightKeeperParts {
  readonly state: () => State;
  readonly clock: Clock;
  readonly input: (atUnixMs: UtcMillis) => NightInput;
  /** Called with each new night. */
  readonly onNight: (tonight: ForeseenNight) => void;
}

/** Queues up to here are played within a few milliseconds, whenever anything changes. */
const PLAYED_AT_ONCE = 1_500;
/** Turns played before others get a word in: about one millisecond's worth. */
const SLICE = 250;

interface Known {
  readonly state: State;
  readonly entry: number;
  readonly mark: QueueMark;
  readonly minute: number;
  readonly tonight: ForeseenNight;
}

export class NightKeeper {
  private known: Known | null = null;
  private underWay: Promise<void> | null = null;
  private stopped = false;

  constructor(private readonly parts: NightKeeperParts) {}

  /**
   * ForeseenNight as it stands; of a long queue the latest that is finished, as long as it knows of the request asked for.
   * @param number a request that must be in it
   */
  tonight(number?: number): ForeseenNight {
    const { known } = this;
    if (known !== null && this.isFresh(known)) return known.tonight;
    const large = this.parts.state().waiting.size > PLAYED_AT_ONCE;
    if (
      known !== null &&
      large &&
      known.state === this.parts.state() &&
      (number === undefined || known.tonight.has(number))
    ) {
      this.underWay ??= this.playOn();
      return known.tonight;
    }
    const made = this.begin();
    return this.keep(made, new ForeseenNight(made.input));
  }

  /** The last one worked out, whether it is fresh or not; null before the first. */
  latest(): ForeseenNight | null {
    return this.known?.tonight ?? null;
  }

  /** Resolves when nothing is being worked out. */
  async settled(): Promise<void> {
    await this.underWay;
  }

  stop(): void {
    this.stopped = true;
  }

  /** In a class's queue any entry counts: an owner who leaves hands the request on. */
  private isFresh({ state, entry, mark, minute }: Known): boolean {
    const now = this.parts.state();
    if (state !== now || minute !== this.minute()) return false;
    if (entry === now.lastEntryId) return true;
    return now.waiting.size > PLAYED_AT_ONCE && sameMark(mark, queueMark(now));
  }

  private minute(): number {
    return Math.floor(this.parts.clock.now() / MINUTE);
  }

  private begin(): Omit<Known, "tonight"> & { readonly input: NightInput } {
    const { clock, input } = this.parts;
    const state = this.parts.state();
    return {
      state,
      entry: state.lastEntryId,
      mark: queueMark(state),
      minute: this.minute(),
      input: input(clock.now()),
    };
  }

  private keep(
    { state, entry, mark, minute }: Omit<Known, "tonight">,
    tonight: ForeseenNight,
  ): ForeseenNight {
    this.known = { state, entry, mark, minute, tonight };
    this.parts.onNight(tonight);
    return tonight;
  }

  private async playOn(): Promise<void> {
    const made = this.begin();
    const slices = nightInSlices(made.input, SLICE);
    for (;;) {
      await otherWork();
      if (this.stopped) break;
      const slice = slices.next();
      if (!slice.done) continue;
      if (made.entry >= (this.known?.entry ?? 0)) this.keep(made, new ForeseenNight(made.input, slice.value));
      break;
    }
    this.underWay = null;
  }
}
