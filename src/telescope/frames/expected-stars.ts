/** How many stars a frame should show if nothing is in the way: for comparing with what it does show. */
import type { Degrees, Seconds } from "../../base/units.js";
import type { Camera, Filter } from "../../observatory/observatory.js";
import {
  fieldDegrees,
  pixelScaleArcseconds,
  seeingAtAirmass,
  skyElectronsPerSecond,
  starElectronsPerSecond,
} from "../../observatory/photometry.js";
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

/** A frame's own noise, where it is at hand: a nebula or moonlit haze hides stars too. */
export interface MeasuredNoise {
  readonly noiseAdu: number;
}

/** Stars fainter than this are too many to count and too crowded to tell apart. */
const COUNTED_TO = 20;

/** Stars that `detectStars` should find, by mean star counts: good to a factor of two. */
export function expectedStars(circumstances: FrameCircumstances, measured?: MeasuredNoise): number {
  const { camera, raDegrees, decDegrees } = circumstances;
  const field = fieldDegrees(camera);
  const limit = Math.min(COUNTED_TO, limitingMagnitude(circumstances, measured));
  return Math.round(field.width * field.height * starsPerSquareDegree(limit, raDegrees, decDegrees));
}

/**
 * Magnitude of the faintest star that is detected, from the noise terms of the CCD equation
 * (Merline & Howell 1995, Experimental Astronomy 6, 163).
 */
export function limitingMagnitude(circumstances: FrameCircumstances, measured?: MeasuredNoise): number {
  const { camera, filter, exposureSeconds, airmass, skyMagnitude } = circumstances;
  const sky = skyElectronsPerSecond(filter, camera, skyMagnitude);
  const background = (sky + camera.darkElectronsPerSecond) * exposureSeconds;
  const modelled = Math.sqrt(background + camera.readNoiseElectrons ** 2);
  const noise = Math.max(modelled, (measured?.noiseAdu ?? 0) * camera.gainElectronsPerAdu);
  const fwhm = seeingAtAirmass(camera, airmass) / pixelScaleArcseconds(camera);
  const needed = (SIGNIFICANCE * SUM_SCATTER * noise) / shareInNinePixels(fwhm);
  return 2.5 * Math.log10((starElectronsPerSecond(filter, 0, airmass) * exposureSeconds) / needed);
}

/** Part of a star's light within three by three pixels: a Moffat (1969, A&A 3, 455) profile with β = 3, taken as round. */
function shareInNinePixels(fwhmPixels: number): number {
  const alpha = fwhmPixels / (2 * Math.sqrt(2 ** (1 / 3) - 1));
  return 1 - (1 + 9 / (Math.PI * alpha * alpha)) ** -2;
}
