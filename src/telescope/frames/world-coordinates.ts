/**
 * Where on the sky a frame's pixels are, as its header says: gnomonic projection (Greisen & Calabretta 2002, A&A 395,
 * 1061; Calabretta & Greisen 2002, A&A 395, 1077, section 5.1.3). Distortion terms are left out of account.
 */
import { DEGREES_PER_RADIAN, type Degrees, RADIANS_PER_DEGREE } from "../../base/units.js";
import { type Card, cardValue } from "./fits-cards.js";

export interface SkyPlace {
  readonly raDegrees: Degrees;
  readonly decDegrees: Degrees;
}

/** Pixel coordinates: the centre of the first pixel, bottom left, is 0, 0. */
export interface PixelPlace {
  readonly x: number;
  readonly y: number;
}

/** On the plane that touches the sky at a centre, degrees. */
interface PlanePlace {
  readonly east: Degrees;
  readonly north: Degrees;
}

export interface WorldCoordinates {
  readonly arcsecondsPerPixel: number;
  /** null for the half of the sky behind the camera. */
  toPixel(place: SkyPlace): PixelPlace | null;
  toSky(place: PixelPlace): SkyPlace;
}

/** null where the header has none that can be read, or another projection. */
export function worldCoordinates(cards: readonly Card[]): WorldCoordinates | null {
  const number = (keyword: string): number | null => {
    const value = cardValue(cards, keyword);
    return typeof value === "number" ? value : null;
  };
  const type = (axis: 1 | 2): string => String(cardValue(cards, `CTYPE${axis}`) ?? "");
  const [ra, dec, x, y] = [number("CRVAL1"), number("CRVAL2"), number("CRPIX1"), number("CRPIX2")];
  const matrix = matrixOf(number);
  if (!/^RA---TAN/.test(type(1)) || !/^DEC--TAN/.test(type(2)) || matrix === null) return null;
  if (ra === null || dec === null || x === null || y === null || Math.abs(dec) > 90) return null;
  const [[a, b], [c, d]] = matrix;
  const determinant = a * d - b * c;
  if (determinant === 0) return null;
  const centre = { raDegrees: ra, decDegrees: dec };
  return {
    arcsecondsPerPixel: Math.sqrt(Math.abs(determinant)) * 3600,
    toPixel: (place) => {
      const plane = toPlane(centre, place);
      if (plane === null) return null;
      const { east, north } = plane;
      return {
        x: x - 1 + (d * east - b * north) / determinant,
        y: y - 1 + (a * north - c * east) / determinant,
      };
    },
    toSky: (place) => {
      const [dx, dy] = [place.x + 1 - x, place.y + 1 - y];
      return fromPlane(centre, { east: a * dx + b * dy, north: c * dx + d * dy });
    },
  };
}

type Matrix = readonly [readonly [number, number], readonly [number, number]];

/** Degrees per pixel: CDi_j, else PCi_j with CDELTi, else CDELTi turned by CROTA2 (first paper, section 6.1 and table 6). */
function matrixOf(number: (keyword: string) => number | null): Matrix | null {
  const [cd11, cd12, cd21, cd22] = [number("CD1_1"), number("CD1_2"), number("CD2_1"), number("CD2_2")];
  if (cd11 !== null || cd12 !== null || cd21 !== null || cd22 !== null)
    return [
      [cd11 ?? 0, cd12 ?? 0],
      [cd21 ?? 0, cd22 ?? 0],
    ];
  const [stepX, stepY] = [number("CDELT1"), number("CDELT2")];
  if (stepX === null || stepY === null) return null;
  const turn = (number("CROTA2") ?? 0) * RADIANS_PER_DEGREE;
  const [cosine, sine] = [Math.cos(turn), Math.sin(turn)];
  // PCi_j leave the steps out; the older CROTA2 turns square pixels and others differently.
  const [pc11, pc12] = [number("PC1_1") ?? cosine, number("PC1_2") ?? (-sine * stepY) / stepX];
  const [pc21, pc22] = [number("PC2_1") ?? (sine * stepX) / stepY, number("PC2_2") ?? cosine];
  return [
    [stepX * pc11, stepX * pc12],
    [stepY * pc21, stepY * pc22],
  ];
}

/** @returns null for the half of the sky behind the plane */
export function toPlane(centre: SkyPlace, place: SkyPlace): PlanePlace | null {
  const [dec, middle] = [place.decDegrees * RADIANS_PER_DEGREE, centre.decDegrees * RADIANS_PER_DEGREE];
  const apart = (place.raDegrees - centre.raDegrees) * RADIANS_PER_DEGREE;
  const depth = Math.sin(middle) * Math.sin(dec) + Math.cos(middle) * Math.cos(dec) * Math.cos(apart);
  if (depth <= 0) return null;
  const scale = DEGREES_PER_RADIAN / depth;
  return {
    east: scale * Math.cos(dec) * Math.sin(apart),
    north: scale * (Math.cos(middle) * Math.sin(dec) - Math.sin(middle) * Math.cos(dec) * Math.cos(apart)),
  };
}

function fromPlane(centre: SkyPlace, { east, north }: PlanePlace): SkyPlace {
  const [xi, eta] = [east * RADIANS_PER_DEGREE, north * RADIANS_PER_DEGREE];
  const middle = centre.decDegrees * RADIANS_PER_DEGREE;
  const depth = Math.cos(middle) - eta * Math.sin(middle);
  const ra = centre.raDegrees + Math.atan2(xi, depth) * DEGREES_PER_RADIAN;
  const dec = Math.atan2(Math.sin(middle) + eta * Math.cos(middle), Math.hypot(xi, depth));
  return { raDegrees: ((ra % 360) + 360) % 360, decDegrees: dec * DEGREES_PER_RADIAN };
}

/** Angle between two places, degrees (haversines: exact for small angles too). */
export function apartDegrees(one: SkyPlace, other: SkyPlace): Degrees {
  const half = (degrees: number): number => Math.sin((degrees * RADIANS_PER_DEGREE) / 2) ** 2;
  const cosines =
    Math.cos(one.decDegrees * RADIANS_PER_DEGREE) * Math.cos(other.decDegrees * RADIANS_PER_DEGREE);
  const squared = half(one.decDegrees - other.decDegrees) + cosines * half(one.raDegrees - other.raDegrees);
  return 2 * Math.asin(Math.min(1, Math.sqrt(squared))) * DEGREES_PER_RADIAN;
}
