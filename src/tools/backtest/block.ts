/** One site's share of the backtest: nights in order, learning carried from each to the next. */
import type { Config } from "../../config/config.js";
import { loadCatalogue } from "../../sky/load-catalogue.js";
import { Forecaster } from "./forecaster.js";
import { asOracle } from "./oracle.js";
import { playTruth } from "./play.js";
import { playedOnRange } from "./played-on.js";
import type { Judged } from "./question.js";
import { streamFor } from "./truth/draws.js";
import type { TruthNight } from "./truth/night.js";
import type { Truth, TruthSite } from "./truth/parameters.js";
import { nightsOf, observatoryAt } from "./truth/season.js";

export interface BlockWish {
  readonly truth: Truth;
  readonly config: Config;
  /** Place in `truth.sites`. */
  readonly site: number;
  readonly nights: number;
  /** Answers on which the oracle is asked too; 0 for none. */
  readonly oracle: number;
  readonly seed: number;
  /** One more for each night that is over. */
  readonly done?: Int32Array;
}

export interface BlockResult {
  readonly judged: readonly Judged[];
  readonly requests: number;
}

/** Mean time from asking to looking again. */
const SECOND_LOOK_MINUTES = 30;
/** The oracle is asked so often on each night on which it is asked: enough to compare single nights. */
const ASKED_PER_NIGHT = 30;

/** Of so many of these answers one is compared with the truth itself, which takes its time. */
const PLAYED_ON_EACH = 6;

/** Plays a site's nights and asks the forecaster about each request when it is made and once more later. */
export async function runBlock(wish: BlockWish): Promise<BlockResult> {
  const { truth, config, site, nights, oracle, seed } = wish;
  const { measures } = truth.sites[site] as TruthSite;
  const observatory = observatoryAt(config.observatory, truth.sites[site] as TruthSite);
  const { targets } = loadCatalogue();
  const forecaster = new Forecaster({ ...config, observatory });
  const judged: Judged[] = [];
  const oracleNights = Math.min(nights, Math.ceil(oracle / ASKED_PER_NIGHT));
  let requests = 0;
  let index = 0;
  for (const night of nightsOf({ truth, site, observatory, targets, nights, demand: 1, seed })) {
    const withOracle = (index * oracleNights) % nights < oracleNights;
    await forecaster.nightBegins(night.night, night.hours.duskUnixMs);
    await playTruth(night, config.queue.rule, measures, forecaster, ({ number }) =>
      Math.ceil(streamFor(seed, site, number, 11).exponential(SECOND_LOOK_MINUTES) * 60_000),
    );
    const scored = await forecaster.nightEnds(night.night);
    judged.push(...(withOracle ? await oracleToo(scored, forecaster, night, wish) : scored));
    requests += night.requests.length;
    index++;
    if (wish.done) Atomics.add(wish.done, 0, 1);
  }
  return { judged, requests };
}

/** So many sites of one night each, each a stranger: its seasons in turn, a seed of its own. */
export async function runFirstNights(wish: BlockWish): Promise<BlockResult> {
  const { truth, site, nights, seed } = wish;
  const place = truth.sites[site] as TruthSite;
  const judged: Judged[] = [];
  let requests = 0;
  for (let each = 0; each < nights; each++) {
    const season = place.seasons[each % place.seasons.length] as string;
    const stranger = { ...place, name: `${place.name} ${each + 1}`, seasons: [season] };
    const one = { ...truth, sites: truth.sites.map((other, index) => (index === site ? stranger : other)) };
    const night = await runBlock({
      ...wish,
      truth: one,
      nights: 1,
      oracle: 0,
      seed: seed + 1_000 * (each + 1),
    });
    judged.push(...night.judged);
    requests += night.requests;
  }
  return { judged, requests };
}

/** A seeded sample of the night's promised starts, each with the oracle's, some with the truth's own. */
async function oracleToo(
  judged: readonly Judged[],
  forecaster: Forecaster,
  night: TruthNight,
  { config, seed }: BlockWish,
): Promise<Judged[]> {
  const random = streamFor(seed, night.night.startUnixMs / 60_000, 13);
  let candidates = judged.filter(({ answer }) => answer.start !== null).length;
  let wanted = ASKED_PER_NIGHT;
  const asked: Judged[] = [];
  for (const each of judged) {
    const { answer } = each;
    const isAsked = answer.start !== null && random.uniform() * candidates-- < wanted;
    if (!isAsked) {
      asked.push(each);
      continue;
    }
    const underWay = forecaster.nightOf(answer);
    const oracle = asOracle(night, underWay.night, answer.number, config);
    const playedOn = wanted-- % PLAYED_ON_EACH === 0 && (await playedOnRange(night, underWay, answer.number));
    asked.push({ ...each, oracle, ...(playedOn ? { playedOn } : {}) });
  }
  return asked;
}
