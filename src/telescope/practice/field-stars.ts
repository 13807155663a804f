/** The stars of a field that no list holds: invented, and the same at every visit. */
import { seededRandom } from "../../base/random.js";
import { type Degrees, RADIANS_PER_DEGREE } from "../../base/units.js";
import type { ListedStar } from "../../sky/load-stars.js";
import { starsPerSquareDegree } from "../frames/star-counts.js";
import { type Field, fieldRadiusDegrees } from "./field.js";

/** Side of the cells in which stars are invented, degrees. */
const CELL = 0.25;
const MAGNITUDE_STEP = 0.5;
/** Stars are made from here on, so that the same ones appear whatever the list holds; brighter ones are all listed. */
const MADE_FROM = 7;
/** A field in the Milky Way is cut off here, to keep a frame quick. */
const MOST_STARS_PER_CELL = 4_000;

/**
 * Stars fainter than the list's: as many of each brightness as the counts say, scattered at random within
 * cells of the sky. A cell's seed comes from its position, and its stars are made brightest first, so that
 * every frame of a place shows the same ones and a deeper one only adds to them.
 * @param listedTo magnitude down to which the list has them all
 * @param faintest magnitude of the faintest star worth drawing
 */
export function inventedStars(field: Field, listedTo: number, faintest: number): ListedStar[] {
  const radius = fieldRadiusDegrees(field);
  const stars: ListedStar[] = [];
  const lowest = Math.floor((field.decDegrees - radius + 90) / CELL);
  const highest = Math.floor((field.decDegrees + radius + 90) / CELL);
  for (let band = Math.max(0, lowest); band <= Math.min(180 / CELL - 1, highest); band++) {
    const middle = (band + 0.5) * CELL - 90;
    const columns = Math.max(1, Math.round((360 / CELL) * Math.cos(middle * RADIANS_PER_DEGREE)));
    const width = 360 / columns;
    const edge = Math.min(89.9, Math.abs(field.decDegrees) + radius);
    const reach = Math.min(180, radius / Math.cos(edge * RADIANS_PER_DEGREE));
    const first = Math.floor((field.raDegrees - reach) / width);
    const last = Math.min(Math.floor((field.raDegrees + reach) / width), first + columns - 1);
    for (let column = first; column <= last; column++)
      addCell(stars, band, ((column % columns) + columns) % columns, width, listedTo, faintest);
  }
  return stars;
}

function addCell(
  stars: ListedStar[],
  band: number,
  column: number,
  width: Degrees,
  listedTo: number,
  faintest: number,
): void {
  const random = seededRandom(band * 1_000_003 + column * 7_919 + 17);
  const south = band * CELL - 90;
  const west = column * width;
  const area = width * CELL * Math.cos((south + CELL / 2) * RADIANS_PER_DEGREE);
  const countTo = (magnitude: number): number =>
    area * starsPerSquareDegree(magnitude, west + width / 2, south + CELL / 2);
  let made = 0;
  for (let from = MADE_FROM; from < faintest; from += MAGNITUDE_STEP) {
    const count = random.poisson(countTo(from + MAGNITUDE_STEP) - countTo(from));
    for (let star = 0; star < count && made < MOST_STARS_PER_CELL; star++, made++) {
      const star = {
        raDegrees: west + width * random.uniform(),
        decDegrees: south + CELL * random.uniform(),
        magnitude: from + MAGNITUDE_STEP * random.uniform(),
      };
      if (star.magnitude >= listedTo) stars.push(star);
    }
  }
}
