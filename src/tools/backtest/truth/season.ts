/** A site's nights, one after another through its seasons. */

import { DAY, HOUR } from "../../../base/units.js";
import type { Observatory } from "../../../observatory/observatory.js";
import { type Night, nightNamed, nightOf } from "../../../sky/night.js";
import type { Target } from "../../../sky/target.js";
import { kindsOfNights } from "./cloud.js";
import { streamFor } from "./draws.js";
import { type TruthNight, truthNight } from "./night.js";
import type { Truth, TruthSite } from "./parameters.js";

/** The same machines at another place. */
export function observatoryAt<Place extends Observatory>(example: Place, site: TruthSite): Place {
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
  const dates = nightDates(nights, site, truth.daysBetweenNights);
  let firstNumber = 1;
  for (const [index, night] of dates.entries()) {
    const made = truthNight({
      truth,
      night,
      observatory,
      targets,
      kind: kinds[index]!,
      students: site.students,
      demand,
      firstNumber,
      isRepaired: index >= (truth.machines.domeRepairedAfterShare ?? 1) * nights,
      seed: Math.floor(streamFor(seed, 10, index).uniform() * 2 ** 32),
    });
    firstNumber += made.requests.length;
    yield made;
  }
}

/** Nights are shared out among the seasons, in order; a season that is over already comes a year later. */
export function nightDates(
  nights: number,
  { seasons, timeZone }: TruthSite,
  everyDays: number,
): readonly Night[] {
  const perSeason = Math.ceil(nights / seasons.length);
  const dates: Night[] = [];
  for (const season of seasons) {
    let first = nightNamed(season, timeZone);
    for (let year = 1; first.startUnixMs <= (dates.at(-1)?.startUnixMs ?? 0); year++)
      first = nightNamed(yearsLater(season, year), timeZone);
    for (let index = 0; index < perSeason && dates.length < nights; index++)
      dates.push(nightOf(first.startUnixMs + index * everyDays * DAY + 6 * HOUR, timeZone));
  }
  return dates;
}

/** The same date in a later year; the 29th of February becomes the 28th. */
function yearsLater(date: string, years: number): string {
  const year = Number(date.slice(0, 4)) + years;
  return `${String(year).padStart(4, "0")}${date.slice(4).replace("-02-29", "-02-28")}`;
}
