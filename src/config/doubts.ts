/** What a sound configuration may still have wrong: told at the start and by `npm run check`, and never refused. */
import { DateTime } from "luxon";
import { DEGREES_PER_RADIAN } from "../base/units.js";
import type { Camera } from "../observatory/observatory.js";
import type { Site } from "../sky/site.js";
import type { Config } from "./config.js";

/** No zone's clock is further than this from its Sun (western China 3 h behind, with some to spare), degrees. */
const FURTHEST_FROM_ZONE = 50;
const DEGREES_PER_HOUR = 15;
/** A pixel seen through any telescope lies between these, arc seconds. Common practice, no source. */
const PIXEL_ARCSECONDS = { least: 0.03, most: 20 };

/** One sentence each; none for most configurations. */
export function doubtsOf({ observatory }: Config): string[] {
  return [...signOfLongitude(observatory.site), ...focalLength(observatory.camera)];
}

/** East is positive: a forgotten minus puts the telescope on the other side of the world. */
function signOfLongitude({ longitudeDegrees, timeZone }: Site): string[] {
  const zone = DateTime.fromISO("2026-01-01", { zone: timeZone }).offset / 60;
  const east = zone * DEGREES_PER_HOUR;
  if (apart(longitudeDegrees, east) <= FURTHEST_FROM_ZONE) return [];
  const turned = apart(-longitudeDegrees, east) <= FURTHEST_FROM_ZONE;
  const help = turned
    ? `east is positive and west negative, so perhaps ${-longitudeDegrees} is meant`
    : `one of the two is hardly right`;
  return [`observatory.site: longitude ${longitudeDegrees}° is far from the time zone ${timeZone}; ${help}.`];
}

function apart(one: number, other: number): number {
  const difference = Math.abs(one - other) % 360;
  return Math.min(difference, 360 - difference);
}

function focalLength({ pixelMicrometres, focalLengthMillimetres }: Camera): string[] {
  const arcseconds = (pixelMicrometres / 1000 / focalLengthMillimetres) * DEGREES_PER_RADIAN * 3600;
  if (arcseconds >= PIXEL_ARCSECONDS.least && arcseconds <= PIXEL_ARCSECONDS.most) return [];
  return [
    `observatory.camera: with a focal length of ${focalLengthMillimetres} mm a pixel of ${pixelMicrometres} µm sees ${Number(arcseconds.toPrecision(2))}″, which no telescope has; the focal length is in millimetres.`,
  ];
}
