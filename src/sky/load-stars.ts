/**
 * Stars for simulated frames: the Hipparcos Catalogue everywhere, Tycho-2 around every catalogued target. Sources and
 * licences stand in data/README.md and in the files' own opening text.
 */
import { readFileSync } from "node:fs";
import { type Degrees, RADIANS_PER_DEGREE } from "../base/units.js";
import { HEADER_BYTES, type ListedStar, RECORD_BYTES, readDeclination, readStar } from "./star-record.js";

export type { ListedStar } from "./star-record.js";

export interface StarList {
  /** One line for captions and headers: from where the stars are. */
  readonly source: string;
  /** Magnitude to which the list has nearly all stars (99 %) everywhere. */
  readonly completeToMagnitude: number;
  /** The same at one place, where the list may go deeper: about 11 around catalogued targets, brighter in the Milky Way. */
  completeTo(raDegrees: Degrees, decDegrees: Degrees): number;
  /**
   * Listed stars within a radius of a place (ICRS, J2000), brightest first. Within half a degree of a catalogued
   * target these are at least the ten brightest of each 22.5′ cell; fainter ones must be invented, and said to be.
   */
  near(raDegrees: Degrees, decDegrees: Degrees, radiusDegrees: Degrees): ListedStar[];
}

/** Hipparcos has 99 % of the Tycho-2 stars to here and 92 % of the next half magnitude: counted over the whole sky. */
const HIPPARCOS_COMPLETE = 7;
/** Tycho-2 has 99 % of all stars to V 11 (Høg et al. 2000). */
const TYCHO_COMPLETE = 11;
/** Around a place about 1.4 cells of ten stars lie within this radius: beyond so many stars some may be left out. */
const CELL_RADIUS_DEGREES = 0.25;
const STARS_SURELY_ALL = 12;

/** Reads both lists, 1.2 MB. @throws {Error} when a data file is missing */
export function loadStars(): StarList {
  const read = (name: string) => readFileSync(new URL(`./data/${name}`, import.meta.url));
  const everywhere = read("stars.bin");
  const fields = read("star-fields.bin");
  const near: StarList["near"] = (...place) =>
    [...nearIn(everywhere, ...place), ...nearIn(fields, ...place)].sort((a, b) => a.magnitude - b.magnitude);
  return {
    source: "Hipparcos (ESA 1997) and Tycho-2 (Høg et al. 2000)",
    completeToMagnitude: HIPPARCOS_COMPLETE,
    completeTo: (raDegrees, decDegrees) => {
      if (nearIn(fields, raDegrees, decDegrees, CELL_RADIUS_DEGREES).length === 0) return HIPPARCOS_COMPLETE;
      const crowding = near(raDegrees, decDegrees, CELL_RADIUS_DEGREES)[STARS_SURELY_ALL - 1];
      return Math.max(HIPPARCOS_COMPLETE, Math.min(TYCHO_COMPLETE, crowding?.magnitude ?? TYCHO_COMPLETE));
    },
    near,
  };
}

function nearIn(list: Buffer, raDegrees: Degrees, decDegrees: Degrees, radiusDegrees: Degrees): ListedStar[] {
  const found: ListedStar[] = [];
  const from = firstAtOrAbove(list, decDegrees - radiusDegrees);
  for (let offset = from; offset < list.length; offset += RECORD_BYTES) {
    const star = readStar(list, offset);
    if (star.decDegrees > decDegrees + radiusDegrees) break;
    if (separationDegrees(star, raDegrees, decDegrees) <= radiusDegrees) found.push(star);
  }
  return found;
}

/** Offset of the first star at that declination or north of it. */
function firstAtOrAbove(list: Buffer, decDegrees: Degrees): number {
  let low = 0;
  for (let high = (list.length - HEADER_BYTES) / RECORD_BYTES; low < high; ) {
    const middle = (low + high) >> 1;
    if (readDeclination(list, HEADER_BYTES + middle * RECORD_BYTES) < decDegrees) low = middle + 1;
    else high = middle;
  }
  return HEADER_BYTES + low * RECORD_BYTES;
}

/** By the haversine formula (Meeus, Astronomical Algorithms, ch. 17), which holds at small angles. */
function separationDegrees(star: ListedStar, raDegrees: Degrees, decDegrees: Degrees): Degrees {
  const sine = (degrees: Degrees) => Math.sin((degrees * RADIANS_PER_DEGREE) / 2);
  const across =
    sine(star.raDegrees - raDegrees) ** 2 *
    Math.cos(star.decDegrees * RADIANS_PER_DEGREE) *
    Math.cos(decDegrees * RADIANS_PER_DEGREE);
  const haversine = sine(star.decDegrees - decDegrees) ** 2 + across;
  return (2 * Math.asin(Math.sqrt(Math.min(1, haversine)))) / RADIANS_PER_DEGREE;
}
