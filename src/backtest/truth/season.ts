/** A site's nights, one after another through its seasons. */

import { DAY, HOUR } from "../../base/units.js";
import type { Observatory } from "../../observatory/observatory.js";
import { type Night, nightNamed, nightOf } from "../../sky/night.js";
import type { Target } from "../../sky/target.js";
import { kindsOfNights } from "./cloud.js";
import { streamFor } from "./draws.js";
import { type TruthNight, truthNight } from "./night.js";
import type { Truth, TruthSite } from "./parameters.js";

/** The same machines at another place. */
export function observatoryAt(example: Observatory, site: TruthSite): Observatory {
  const { name, latitudeDegrees, longitudeDegrees, timeZone } = site;
  return { ...example, site: { ...example.site, name, latitudeDegrees, longitudeDegrees, timeZone } };
}

export interface SeasonMaking {
  readonly truth: Truth;
  /** Place in `truth.sites`. */
  readonly site: number;
  readonly observatory: Observatory;
  readonly targets: readonly Target[];
  readonly nights: number;
  readonly demand: number;
  readonly seed: number;
}

/** Makes a site's nights in order, each when it is asked for; requests are numbered on from night to night. */
export function* nightsOf(making: SeasonMaking): Generator<TruthNight> {
  const { truth, observatory, targets, nights, demand } = making;
  const site = truth.sites[making.site] as TruthSite;
  const seed = Math.floor(streamFor(making.seed, making.site).uniform() * 2 ** 32);
  const kinds = kindsOfNights(truth.cloud, nights, seed);
  let firstNumber = 1;
  for (let index = 0; index < nights; index++) {
    const made = truthNight({
      truth,
      night: nightAt(index, nights, site, truth.daysBetweenNights),
      observatory,
      targets,
      kind: kinds[index]!,
      students: site.students,
      demand,
      firstNumber,
      seed: Math.floor(streamFor(seed, 10, index).uniform() * 2 ** 32),
    });
    firstNumber += made.requests.length;
    yield made;
  }
}

/** Nights are shared out among the seasons, in order. */
function nightAt(index: number, nights: number, { seasons, timeZone }: TruthSite, everyDays: number): Night {
  const perSeason = Math.ceil(nights / seasons.length);
  const first = nightNamed(seasons[Math.floor(index / perSeason)]!, timeZone);
  const day = (index % perSeason) * everyDays;
  return nightOf(first.startUnixMs + day * DAY + 6 * HOUR, timeZone);
}
