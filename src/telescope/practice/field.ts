/** The patch of sky that falls on the camera, and its coordinates in pixels. */
import type { Degrees } from "../../base/units.js";
import type { Camera } from "../../observatory/observatory.js";
import { pixelScaleArcseconds } from "../../observatory/photometry.js";
import type { Card } from "../frames/fits-cards.js";
import { type PixelPlace, toPlane } from "../frames/world-coordinates.js";

/** North is up and east to the left, whatever the mount: the camera is taken to be turned so. */
export interface Field {
  readonly width: number;
  readonly height: number;
  readonly arcsecondsPerPixel: number;
  /** Of the field's centre, ICRS. */
  readonly raDegrees: Degrees;
  readonly decDegrees: Degrees;
}

/** The field of a camera that points at a place. */
export function fieldOf(camera: Camera, raDegrees: Degrees, decDegrees: Degrees): Field {
  return {
    width: camera.widthPixels,
    height: camera.heightPixels,
    arcsecondsPerPixel: pixelScaleArcseconds(camera),
    raDegrees,
    decDegrees,
  };
}

/** From the centre to a corner, degrees. */
export function fieldRadiusDegrees(field: Field): Degrees {
  return (Math.hypot(field.width, field.height) / 2) * (field.arcsecondsPerPixel / 3600);
}

/**
 * Where a place falls on the camera.
 * @returns null for the half of the sky behind the camera
 */
export function toPixel(field: Field, raDegrees: Degrees, decDegrees: Degrees): PixelPlace | null {
  const plane = toPlane(field, { raDegrees, decDegrees });
  if (plane === null) return null;
  const scale = 3600 / field.arcsecondsPerPixel;
  return { x: (field.width - 1) / 2 - plane.east * scale, y: (field.height - 1) / 2 + plane.north * scale };
}

/** World coordinates for the FITS header (Greisen & Calabretta 2002, A&A 395, 1061). */
export function wcsCards(field: Field): Card[] {
  const step = field.arcsecondsPerPixel / 3600;
  return [
    { keyword: "WCSAXES", value: 2 },
    { keyword: "CTYPE1", value: "RA---TAN", comment: "gnomonic projection" },
    { keyword: "CTYPE2", value: "DEC--TAN" },
    { keyword: "CUNIT1", value: "deg" },
    { keyword: "CUNIT2", value: "deg" },
    { keyword: "CRPIX1", value: (field.width + 1) / 2, comment: "centre of the first pixel is 1" },
    { keyword: "CRPIX2", value: (field.height + 1) / 2 },
    { keyword: "CRVAL1", value: field.raDegrees },
    { keyword: "CRVAL2", value: field.decDegrees },
    { keyword: "CDELT1", value: -step, comment: "east to the left" },
    { keyword: "CDELT2", value: step, comment: "north up" },
    { keyword: "RADESYS", value: "ICRS" },
  ];
}
