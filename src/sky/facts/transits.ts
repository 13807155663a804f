/** Planets of other stars that pass before them: when, for how long, and how much light they hide. */
import { DAY, type Millis, type UtcMillis } from "../../base/units.js";
import { UNIX_JULIAN_DATE } from "../small-bodies/orbit.js";
import { nextAfter } from "./variables.js";

interface TransitingPlanet {
  /** "HD 209458 b". */
  readonly planet: string;
  readonly lastsMs: Millis;
  /** Part of the star's light, per cent. */
  readonly depthPercent: number;
  /** Julian date of a middle, and days from one to the next; null where the period changes too fast to be told ahead from here. */
  readonly clock: { readonly julianDate: number; readonly periodDays: number } | null;
}

/**
 * id of the star | planet | middle of a transit, Julian date | period, days | hours | per cent. Discoverers' and later papers: Knutson et
 * al. 2007 (ApJ 655, 564), Agol et al. 2010 (ApJ 721, 1861), Collier Cameron et al. 2010 (MNRAS 407, 507), Sozzetti et al. 2009
 * (ApJ 691, 1145), Alsubai et al. 2011 (MNRAS 417, 709), Gillon et al. 2012 (A&A 542, A4), Hartman et al. 2011 (ApJ 742, 59),
 * Hébrard et al. 2013 (A&A 549, A134), Bakos et al. 2012 (AJ 144, 19); from memory. WASP-12 b's orbit decays (Yee et al. 2020).
 */
const TABLE = `
HD209458|HD 209458 b|2452826.62852|3.52474859|3.1|1.5
HD189733|HD 189733 b|2454279.43671|2.21857567|1.8|2.4
WASP12|WASP-12 b|||3.0|1.4
WASP33|WASP-33 b|2454163.22449|1.2198709|2.7|1.1
TrES3|TrES-3 b|2454185.9104|1.30618648|1.4|2.7
Qatar1|Qatar-1 b|2455518.4109|1.4200242|1.7|2.1
WASP43|WASP-43 b|2455726.54336|0.81347753|1.2|2.5
HATP32|HAT-P-32 b|2454420.44637|2.150008|3.1|2.3
WASP52|WASP-52 b|2455793.68143|1.7497798|1.8|2.7
HATP36|HAT-P-36 b|2455565.18144|1.327347|2.2|1.4
`;

const byId = new Map(
  TABLE.trim()
    .split("\n")
    .map((row) => {
      const [id = "", planet = "", middle = "", period = "", hours, depth] = row.split("|");
      const clock = middle === "" ? null : { julianDate: Number(middle), periodDays: Number(period) };
      const lastsMs = (Number(hours) * DAY) / 24;
      return [id, { planet, lastsMs, depthPercent: Number(depth), clock } as TransitingPlanet] as const;
    }),
);

/** What is known of the planet of a star by the star's id; null for all others. */
export function transitingPlanetOf(id: string): TransitingPlanet | null {
  return byId.get(id) ?? null;
}

/** The middle of the next transit that ends after an instant; null where none can be told. */
export function nextTransit({ clock, lastsMs }: TransitingPlanet, unixMs: UtcMillis): UtcMillis | null {
  if (clock === null) return null;
  const first = (clock.julianDate - UNIX_JULIAN_DATE) * DAY;
  return nextAfter(first, clock.periodDays * DAY, unixMs - lastsMs / 2);
}
