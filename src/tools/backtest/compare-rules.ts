/** `planned` against `highest-first`: the same truth nights, too full to finish, played under each rule. */
import type { Config } from "../../config/config.js";
import type { RuleName } from "../../queue/request.js";
import { targetNights } from "../../queue/target-night.js";
import { loadCatalogue } from "../../sky/load-catalogue.js";
import { type PlayedNight, playTruth } from "./play.js";
import type { Truth, TruthSite } from "./truth/parameters.js";
import { nightsOf, observatoryAt } from "./truth/season.js";
import { nobody } from "./watcher.js";

export interface RuleNight {
  readonly completed: number;
  readonly airmasses: readonly number[];
  /** Observable at some time tonight, and still waiting when it is over. */
  readonly left: number;
  /** Of the staff's requests: completed, and the waits (from dusk at the earliest) of those that started. */
  readonly staffCompleted: number;
  readonly staffWaitMs: readonly number[];
}

export interface RuleComparison {
  readonly planned: RuleNight;
  readonly highestFirst: RuleNight;
}

export interface ComparisonWish {
  readonly truth: Truth;
  readonly config: Config;
  readonly site: number;
  readonly seed: number;
}

/** Plays a site's full nights under both rules. Nights that either rule finishes are left out: they were not full. */
export async function compareRules(wish: ComparisonWish): Promise<RuleComparison[]> {
  const { truth, config, site, seed } = wish;
  const place = truth.sites[site] as TruthSite;
  const observatory = observatoryAt(config.observatory, place);
  const { targets } = loadCatalogue();
  const { nightsPerSite, demandFactor } = truth.fullNights;
  const making = {
    truth,
    site,
    observatory,
    targets,
    nights: nightsPerSite,
    demand: demandFactor,
    seed: seed + 1,
  };
  const compared: RuleComparison[] = [];
  for (const night of nightsOf(making)) {
    const under = async (rule: RuleName): Promise<RuleNight> =>
      summaryOf(await playTruth(night, rule, place.measures, nobody, () => Number.POSITIVE_INFINITY));
    const comparison = { planned: await under("planned"), highestFirst: await under("highest-first") };
    if (comparison.planned.left > 0 && comparison.highestFirst.left > 0) compared.push(comparison);
  }
  return compared;
}

function summaryOf({ completions, left, startUnixMs, truth }: PlayedNight): RuleNight {
  const nights = targetNights(truth.night.startUnixMs, truth.observatory);
  const staff = truth.requests.filter(({ tier }) => tier === 0);
  return {
    completed: completions.length,
    airmasses: completions.map(({ airmass }) => airmass),
    left: left.filter(({ target }) => nights(target).windows.length > 0).length,
    staffCompleted: completions.filter(({ request }) => request.tier === 0).length,
    staffWaitMs: staff.flatMap(({ number, askedUnixMs }) => {
      const started = startUnixMs.get(number);
      return started === undefined ? [] : [started - Math.max(askedUnixMs, truth.hours.duskUnixMs)];
    }),
  };
}
