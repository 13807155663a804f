/** Famous variable stars: what they do, and where a calculation holds, when they next do it. */
import { DAY, type UtcMillis } from "../../base/units.js";
import { UNIX_JULIAN_DATE } from "../small-bodies/orbit.js";

export interface Variable {
  /** "an eclipsing pair". */
  readonly kind: string;
  /** Visual magnitudes. */
  readonly brightest: number;
  readonly faintest: number;
  /** null where it keeps none. */
  readonly periodDays: number | null;
  /** A heliocentric Julian date at which it was faintest or brightest; null where none would hold until today. */
  readonly epoch: { readonly of: "minimum" | "maximum"; readonly julianDate: number } | null;
}

/**
 * id | kind | brightest | faintest | period, days | epoch of a minimum (m) or maximum (M), HJD. General Catalogue of Variable Stars
 * (Samus et al. 2017, Astronomy Reports 61, 80), from memory. No epoch where the period wanders: its minima cannot be told ahead.
 */
const TABLE = `
Algol|an eclipsing pair|2.1|3.4|2.867304|m 2445641.5135
DeltaCephei|a Cepheid|3.5|4.4|5.366341|M 2436075.445
EtaAquilae|a Cepheid|3.5|4.4|7.176641|M 2436084.656
Mekbuda|a Cepheid|3.6|4.2|10.15073|M 2443805.927
RZCassiopeiae|an eclipsing pair|6.2|7.7|1.195257|m 2448960.2122
WUrsaeMajoris|two stars that touch|7.8|8.5|0.333635|
UCephei|an eclipsing pair|6.8|9.4|2.4931|
Sheliak|an eclipsing pair whose period grows|3.3|4.4|12.942|
RRLyrae|a pulsating star of its own kind|7.1|8.1|0.566868|
Mira|a long-period variable|2.0|10.1|332|
ChiCygni|a long-period variable|3.3|14.2|408|
RLeonis|a long-period variable|4.4|11.3|310|
RHydrae|a long-period variable|3.5|10.9|380|
RLeporis|a long-period variable|5.5|11.7|445|
RAquarii|a long-period variable with a hot companion|5.8|12.4|387|
RScuti|a pulsating supergiant|4.2|8.6|147|
Betelgeuse|a pulsating supergiant|0.0|1.6||
MuCephei|a pulsating supergiant|3.4|5.1||
GammaCassiopeiae|a star with a disc of gas|1.6|3.0||
RCoronaeBorealis|a star that soot hides now and then|5.7|14.8||
TCoronaeBorealis|a nova that returns every 80 years or so|2.0|10.8||
RSOphiuchi|a nova that returns every 15 years or so|4.3|12.5||
SSCygni|a dwarf nova that flares every seven weeks or so|7.7|12.4||
UGeminorum|a dwarf nova that flares every 100 days or so|8.2|14.9||
Almaaz|an eclipsing pair with an eclipse every 27 years|2.9|3.8|9892|
`;

const byId = new Map(
  TABLE.trim()
    .split("\n")
    .map((row) => {
      const [id = "", kind = "", brightest, faintest, period = "", epoch = ""] = row.split("|");
      const variable: Variable = {
        ...{ kind, brightest: Number(brightest), faintest: Number(faintest) },
        periodDays: period === "" ? null : Number(period),
        epoch:
          epoch === ""
            ? null
            : { of: epoch.startsWith("m") ? "minimum" : "maximum", julianDate: Number(epoch.slice(2)) },
      };
      return [id, variable] as const;
    }),
);

/** What is known of a variable star by its id; null for all others. */
export function variableOf(id: string): Variable | null {
  return byId.get(id) ?? null;
}

/**
 * The next epoch after an instant. Heliocentric dates are taken as they are: light takes up to 8 min either way, and the
 * periods' own error over the years is larger.
 */
export function nextEpoch({ epoch, periodDays }: Variable, unixMs: UtcMillis): UtcMillis | null {
  if (epoch === null || periodDays === null) return null;
  return nextAfter((epoch.julianDate - UNIX_JULIAN_DATE) * DAY, periodDays * DAY, unixMs);
}

/** The first of evenly spaced instants that lies after another. */
export function nextAfter(first: UtcMillis, every: number, unixMs: UtcMillis): UtcMillis {
  return first + every * Math.ceil((unixMs - first) / every);
}
