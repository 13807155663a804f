/** What the journal teaches the forecast: beliefs from the desk's state, learned once for each change. */
import type { UtcMillis } from "../base/units.js";
import type { Config } from "../config/config.js";
import { type Beliefs, factorsOf, priorBeliefs } from "../forecast/learn/beliefs.js";
import { idleSince } from "../forecast/learn/experience.js";
import { learnBeliefs } from "../forecast/learn/learn-beliefs.js";
import { learnOverheads } from "../forecast/learn/learn-overheads.js";
import type { State } from "../journal/state.js";
import { nightSkyOf } from "../observatory/night-sky.js";
import type { OverheadFactors } from "../observatory/observatory.js";
import { type Night, nightOf } from "../sky/night.js";

export class Learning {
  private readonly prior: Beliefs;
  private samples: State["overheadSamples"] | null = null;
  private factors: OverheadFactors;

  constructor(private readonly config: Config) {
    this.prior = priorBeliefs(config.forecast, config.observatory);
    this.factors = factorsOf(this.prior);
  }

  /** The learned multiples in use; 1 until something is learned. */
  overheads({ overheadSamples }: State): OverheadFactors {
    if (this.samples !== overheadSamples) {
      const overheads = learnOverheads(overheadSamples, this.prior.overheads);
      this.factors = factorsOf({ ...this.prior, overheads });
      this.samples = overheadSamples;
    }
    return this.factors;
  }

  /** All that is believed now. Looks at every request ever made. */
  beliefs(state: State, nowUnixMs: UtcMillis): Beliefs {
    const { requests, overheadSamples, tally, tallyBefore } = state;
    const night = nightOf(nowUnixMs, this.config.observatory.site.timeZone);
    return learnBeliefs(this.prior, {
      observatory: this.config.observatory,
      nowUnixMs,
      night,
      measured: overheadSamples,
      requests: requests.values(),
      tally,
      tallyBefore,
      heldSinceUnixMs: this.heldSince(state, night, nowUnixMs),
    });
  }

  /** Cloud that nobody has placed a hold for keeps the telescope from nothing, and before dusk there is nothing to keep. */
  private heldSince({ hold, taken, tally }: State, night: Night, nowUnixMs: UtcMillis): UtcMillis | null {
    if (hold === null || hold.untilUnixMs !== null) return null;
    const { dark, dusky } = nightSkyOf(night, this.config.observatory);
    const duskUnixMs = dark[0]?.openUnixMs ?? dusky[0]?.openUnixMs ?? nowUnixMs;
    const idleUnixMs = idleSince(hold.sinceUnixMs, taken !== null, tally, nowUnixMs);
    return Math.min(nowUnixMs, Math.max(duskUnixMs, idleUnixMs));
  }
}
