/** Cloud and holds in one run of the spread: open and closed by turns, at rates drawn for the run. */
import { type Random, seededRandom } from "../base/random.js";
import type { UtcMillis } from "../base/units.js";
import type { InterruptionBelief } from "./learn/beliefs.js";
import { gammaOfMeanOne } from "./learn/gamma.js";
import type { NightInput } from "./night-run.js";

export class Interruptions {
  private random: Random = seededRandom(0);
  private closesUnixMs: UtcMillis = Number.POSITIVE_INFINITY;
  private opensUnixMs: UtcMillis = Number.NEGATIVE_INFINITY;
  private openMeanMs = 0;
  private closedMeanMs = 0;
  private readonly closedNow: boolean;
  private readonly fromUnixMs: UtcMillis;

  /** A hold without an end counts as closed now; one with an end, as open from then on. */
  constructor(
    { nowUnixMs, holdUntilUnixMs }: NightInput,
    private readonly belief: InterruptionBelief,
  ) {
    const openEnded = holdUntilUnixMs === Number.POSITIVE_INFINITY;
    this.closedNow = openEnded || (!belief.openNow && belief.closedMeanMs > 0);
    this.fromUnixMs = openEnded ? nowUnixMs : Math.max(nowUnixMs, holdUntilUnixMs ?? nowUnixMs);
  }

  /** Back to the start of the night, with this run's luck. */
  reset(random: Random): void {
    this.random = random;
    const { openMeanMs, openShape, closedMeanMs, closedShape } = this.belief;
    this.openMeanMs = openMeanMs / gammaOfMeanOne(openShape, random);
    this.closedMeanMs = closedMeanMs / gammaOfMeanOne(closedShape, random);
    this.opensUnixMs = this.fromUnixMs;
    this.closesUnixMs = this.fromUnixMs;
    if (this.closedNow) this.opensUnixMs += this.closedMs(this.belief.standsForGood);
    this.close();
  }

  /**
   * The first instant, not before `unixMs`, at which it is open. Instants never run backwards.
   * @param busySinceUnixMs what began then has kept the telescope busy until `unixMs`: when it closes meanwhile,
   *   the time that is lost counts from `unixMs`, as it is measured
   */
  openFrom(unixMs: UtcMillis, busySinceUnixMs: UtcMillis): UtcMillis {
    while (unixMs >= this.closesUnixMs) {
      const idleUnixMs = this.closesUnixMs >= busySinceUnixMs ? unixMs : this.closesUnixMs;
      this.opensUnixMs = idleUnixMs + this.closedMs(this.belief.forGood);
      this.close();
    }
    return unixMs < this.opensUnixMs ? Math.ceil(this.opensUnixMs) : unixMs;
  }

  private close(): void {
    const { closedMeanMs, openMeanMs } = this;
    const never = closedMeanMs === 0 || openMeanMs === Number.POSITIVE_INFINITY;
    this.closesUnixMs = never
      ? Number.POSITIVE_INFINITY
      : this.opensUnixMs + this.random.exponential(openMeanMs);
  }

  private closedMs(forGood: number): number {
    const { closedMeanMs, random } = this;
    if (closedMeanMs === 0 || (forGood > 0 && random.uniform() < forGood)) return Number.POSITIVE_INFINITY;
    return random.exponential(closedMeanMs);
  }
}
