/** One site's share of the backtest: nights in order, learning carried from each to the next. */
import type { Config } from "../../config/config.js";
import { loadCatalogue } from "../../sky/load-catalogue.js";
import { Forecaster } from "./forecaster.js";
import { playTruth } from "./play.js";
import type { Judged } from "./question.js";
import { streamFor } from "./truth/draws.js";
import type { Truth, TruthSite } from "./truth/parameters.js";
import { nightsOf, observatoryAt } from "./truth/season.js";

export interface BlockWish {
  readonly truth: Truth;
  readonly config: Config;
  /** Place in `truth.sites`. */
  readonly site: number;
  readonly nights: number;
  readonly seed: number;
}

export interface BlockResult {
  readonly judged: readonly Judged[];
  readonly requests: number;
}

/** Mean time from asking to looking again. */
const SECOND_LOOK_MINUTES = 30;

/** Plays a site's nights and asks the forecaster about each request when it is made and once more later. */
export async function runBlock({ truth, config, site, nights, seed }: BlockWish): Promise<BlockResult> {
  const { measures } = truth.sites[site] as TruthSite;
  const observatory = observatoryAt(config.observatory, truth.sites[site] as TruthSite);
  const { targets } = loadCatalogue();
  const forecaster = new Forecaster({ ...config, observatory });
  const judged: Judged[] = [];
  let requests = 0;
  for (const night of nightsOf({ truth, site, observatory, targets, nights, demand: 1, seed })) {
    await forecaster.nightBegins(night.night, night.hours.duskUnixMs);
    await playTruth(night, config.queue.rule, measures, forecaster, ({ number }) =>
      Math.ceil(streamFor(seed, site, number, 11).exponential(SECOND_LOOK_MINUTES) * 60_000),
    );
    judged.push(...(await forecaster.nightEnds(night.night)));
    requests += night.requests.length;
  }
  return { judged, requests };
}
