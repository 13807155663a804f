/** How far a small body may be from where its elements put it. */
import { DAY, type UtcMillis } from "../../base/units.js";
import { orbitSeen } from "../ephemeris.js";
import type { SmallBodyTarget } from "../target.js";
import { length } from "../vector.js";
import { UNIX_JULIAN_DATE } from "./orbit.js";

/**
 * Arc minutes as seen from the Sun, for elements a year old; it grows with the square of the age, as a lasting pull does.
 * Minor planets: root mean square of 16 comparisons of the Minor Planet Center's elements of Ceres, Pallas, Juno and Vesta
 * for one epoch, carried on, with those for a later one (2020 to 2026; 0.2 to 3.1). Comets, pushed by their own gas and
 * met nearer the Sun: twice that (no source).
 */
const AFTER_A_YEAR = { "minor planet": 1.5, comet: 3 } as const;

/** Arc minutes as seen from the Earth. */
export function expectedErrorArcminutes({ orbit, type }: SmallBodyTarget, unixMs: UtcMillis): number {
  const years = (unixMs / DAY + UNIX_JULIAN_DATE - orbit.epochJulianDate) / 365.25;
  const { fromSun, astrometric } = orbitSeen(orbit, unixMs);
  return AFTER_A_YEAR[type] * years ** 2 * (length(fromSun) / length(astrometric));
}

/** The year in which the elements were true. */
export function elementsYear({ orbit }: SmallBodyTarget): number {
  return new Date((orbit.epochJulianDate - UNIX_JULIAN_DATE) * DAY).getUTCFullYear();
}
