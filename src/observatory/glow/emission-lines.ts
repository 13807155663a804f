/** Light of nebulae in single lines, as a narrow filter sees it. */
import type { FixedTarget, ObjectType } from "../../sky/target.js";
import type { Filter } from "../observatory.js";

/** Shines in lines, not in all colours: a narrow filter's light cannot be told from a visual magnitude. */
const OF_GAS: readonly ObjectType[] = [
  "planetary nebula",
  "emission nebula",
  "supernova remnant",
  "cluster with nebula",
];

/** True where a filter is so narrow that lines decide what it shows. */
export function isNarrow({ widthNanometres }: Filter): boolean {
  return widthNanometres !== null && widthNanometres <= WIDEST_NARROW;
}
const WIDEST_NARROW = 30;

/**
 * Planetary nebulae. Columns: id | log F(Hβ), erg/cm²/s, whole nebula, as observed (Acker et al. 1992, Strasbourg-ESO Catalogue
 * of Galactic Planetary Nebulae) | c(Hβ) (Cahn, Kaler & Stanghellini 1992, A&AS 94, 399) | [O III] 500.7 nm over Hβ (the
 * Strasbourg-ESO Catalogue's line lists), empty where not at hand. All from memory.
 */
const PLANETARY_NEBULAE = `
M57|-10.08|0.29|10.5
M27|-9.46|0.18|10
M97|-10.42|0.02|6
M76|-10.68|0.14|
NGC7293|-9.37|0.04|
NGC7027|-10.12|1.37|13
NGC7662|-9.99|0.18|12.6
NGC7009|-9.78|0.14|11.5
NGC6543|-9.61|0.20|6.9
NGC6826|-9.98|0.05|7.1
NGC3242|-9.79|0.12|12.9
NGC2392|-10.39|0.18|10.5
NGC40|-10.66|0.70|
NGC6210|-10.08|0.05|10.5
NGC1535|-10.43|0.05|
NGC6572|-9.82|0.35|
NGC6818|-10.48|0.30|
IC418|-9.57|0.30|
`;

/**
 * The Orion Nebula, columns as above: from its radio brightness (410 Jy at 23 GHz: Felli et al. 1993, A&AS 98, 137), by what
 * gas at 9,000 K gives of Hβ beside it (Caplan & Deharveng 1986, A&A 155, 297), and its dust and [O III] (Esteban et al. 2004,
 * MNRAS 355, 229). From memory. No other H II region's whole flux is at hand.
 */
const ORION_NEBULA = "M42|-7.47|0.6|3.5";

interface Line {
  readonly nanometres: number;
  /** erg/cm²/s at the Earth, above the air. */
  readonly flux: number;
}

/** Hα over Hβ for gas at 10,000 K (case B: Osterbrock & Ferland 2006, table 4.4). */
const BALMER = 2.86;
/** What dust leaves of that ratio grows by 10^(0.32 c): the galactic extinction law of Seaton 1979, MNRAS 187, 73P. */
const REDDENING = 0.32;
/** The weaker line of the [O III] pair (Storey & Zeippen 2000, MNRAS 312, 813). */
const OXYGEN_PAIR = 1 / 2.98;

const known = new Map(
  [...PLANETARY_NEBULAE.trim().split("\n"), ORION_NEBULA].map((row) => {
    const [id = "", logBeta = "", c = "", oxygen = ""] = row.split("|");
    return [id, linesOf(10 ** Number(logBeta), Number(c), oxygen === "" ? null : Number(oxygen))] as const;
  }),
);

function linesOf(beta: number, c: number, oxygen: number | null): readonly Line[] {
  const pair = oxygen === null ? Number.NaN : oxygen * beta;
  return [
    { nanometres: 486.13, flux: beta },
    { nanometres: 656.28, flux: beta * BALMER * 10 ** (REDDENING * c) },
    { nanometres: 500.68, flux: pair },
    { nanometres: 495.89, flux: pair * OXYGEN_PAIR },
  ];
}

/**
 * The magnitude that a star of no particular colour would need to give a narrow filter as much light as the whole nebula's
 * lines do; null where those are not known. Undefined where lines don't matter: a wide filter, or no gas.
 */
export function lineMagnitude(target: FixedTarget, filter: Filter): number | null | undefined {
  const { centreNanometres: centre, widthNanometres: width } = filter;
  if (!isNarrow(filter) || centre === null || width === null || !OF_GAS.includes(target.type))
    return undefined;
  const within = (known.get(target.id) ?? []).filter(
    (line) => Math.abs(line.nanometres - centre) <= width / 2,
  );
  const flux = within.reduce((sum, line) => sum + line.flux, 0);
  if (!(flux > 0)) return null;
  return -2.5 * Math.log10(flux / (zeroMagnitudeFlux(centre) * width * 10));
}

/** Bands of a magnitude-0 star of type A0: nanometres, 1e-9 erg/cm²/s/Å (Bessell, Castelli & Plez 1998, A&A 333, 231, table A2). */
const ZERO_MAGNITUDE = [
  [366, 4.175],
  [438, 6.32],
  [545, 3.631],
  [641, 2.177],
  [798, 1.126],
] as const;

/** Flux per ångström of a star of magnitude 0, by the logarithms of the bands on either side. */
export function zeroMagnitudeFlux(nanometres: number): number {
  const next = ZERO_MAGNITUDE.findIndex(([band]) => band >= nanometres);
  const upper = next === -1 ? ZERO_MAGNITUDE.length - 1 : Math.max(1, next);
  const [from, low] = ZERO_MAGNITUDE[upper - 1] as readonly [number, number];
  const [to, high] = ZERO_MAGNITUDE[upper] as readonly [number, number];
  const share = Math.log(nanometres / from) / Math.log(to / from);
  return 1e-9 * low ** (1 - share) * high ** share;
}
