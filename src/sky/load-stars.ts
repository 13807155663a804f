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
  /**
   * Listed stars within `radiusDegrees` of a place (ICRS, J2000), brightest first. Everywhere complete to about V 7.5
   * (Hipparcos); within half a degree of a catalogued target the ten brightest of each 22.5′ cell are there as well,
   * mostly down to V 11 or 12. Fainter stars must be invented and said to be.
   */
  starsNear(raDegrees: Degrees, decDegrees: Degrees, radiusDegrees: Degrees): ListedStar[];
}

/** Reads both lists, 1.2 MB. @throws {Error} when a data file is missing */
export function loadStars(): StarList {
  const lists = ["stars.bin", "star-fields.bin"].map((name) =>
    readFileSync(new URL(`./data/${name}`, import.meta.url)),
  );
  return {
    source: "Hipparcos (ESA 1997) and Tycho-2 (Høg et al. 2000)",
    starsNear: (raDegrees, decDegrees, radiusDegrees) =>
      lists
        .flatMap((list) => nearIn(list, raDegrees, decDegrees, radiusDegrees))
        .sort((a, b) => a.magnitude - b.magnitude),
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
