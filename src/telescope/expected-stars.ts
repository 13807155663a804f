/** How many stars a frame should show if nothing is in the way: for comparing with what it does show. */
import type { Degrees, Seconds } from "../base/units.js";
import type { Camera, Filter } from "../observatory/observatory.js";
import {
  fieldDegrees,
  pixelScaleArcseconds,
  seeingAtAirmass,
  skyElectronsPerSecond,
  starElectronsPerSecond,
} from "../observatory/photometry.js";
import { SIGNIFICANCE, SUM_SCATTER } from "./detect-stars.js";
import { starsPerSquareDegree } from "./star-counts.js";

/** The circumstances of a frame, from any telescope. */
export interface FrameCircumstances {
  readonly camera: Camera;
  readonly filter: Filter;
  readonly exposureSeconds: Seconds;
  readonly airmass: number;
  /** Magnitudes per square arc second towards the target. */
  readonly skyMagnitude: number;
  readonly raDegrees: Degrees;
  readonly decDegrees: Degrees;
}

/** Stars fainter than this are too many to count and too crowded to tell apart. */
const COUNTED_TO = 20;

/** Stars that `detectStars` should find, by mean star counts: good to a factor of two. */
export function expectedStars(circumstances: FrameCircumstances): number {
  const { camera, raDegrees, decDegrees } = circumstances;
  const field = fieldDegrees(camera);
  const limit = Math.min(COUNTED_TO, limitingMagnitude(circumstances));
  return Math.round(field.width * field.height * starsPerSquareDegree(limit, raDegrees, decDegrees));
}

/**
 * Magnitude of the faintest star that is detected, from the noise terms of the CCD equation
 * (Merline & Howell 1995, Experimental Astronomy 6, 163).
 */
export function limitingMagnitude(circumstances: FrameCircumstances): number {
  const { camera, filter, exposureSeconds, airmass, skyMagnitude } = circumstances;
  const sky = skyElectronsPerSecond(filter, camera, skyMagnitude);
  const background = (sky + camera.darkElectronsPerSecond) * exposureSeconds;
  const noise = Math.sqrt(background + camera.readNoiseElectrons ** 2);
  const fwhm = seeingAtAirmass(camera, airmass) / pixelScaleArcseconds(camera);
  const needed = (SIGNIFICANCE * SUM_SCATTER * noise) / shareInNinePixels(fwhm);
  return 2.5 * Math.log10((starElectronsPerSecond(filter, 0, airmass) * exposureSeconds) / needed);
}

/** Part of a star's light within three by three pixels: a Gaussian image, taken as round. */
function shareInNinePixels(fwhmPixels: number): number {
  const sigma = fwhmPixels / 2.3548;
  const radius = Math.sqrt(9 / Math.PI);
  return 1 - Math.exp(-(radius * radius) / (2 * sigma * sigma));
}
