/** From magnitudes to electrons in the camera, and how they fall on its pixels. */
import { DEGREES_PER_RADIAN, type Degrees, type Seconds } from "../base/units.js";
import type { Camera, Filter } from "./observatory.js";

/** What one pixel covers, arc seconds. */
export function pixelScaleArcseconds(camera: Camera): number {
  const radians = camera.pixelMicrometres / 1000 / camera.focalLengthMillimetres;
  return radians * DEGREES_PER_RADIAN * 3600;
}

/**
 * Electrons per second from a star of a magnitude, over the whole aperture, dimmed by the air
 * (Howell, Handbook of CCD Astronomy, 2nd ed., ch. 5). The star's colour is left out of account.
 */
export function starElectronsPerSecond(filter: Filter, magnitude: number, airmass: number): number {
  return filter.zeroPointElectrons * 10 ** (-0.4 * (magnitude + filter.extinction * airmass));
}

/** Electrons per second and pixel from a sky of that many magnitudes per square arc second, as seen from the ground. */
export function skyElectronsPerSecond(filter: Filter, camera: Camera, skyMagnitude: number): number {
  return filter.zeroPointElectrons * 10 ** (-0.4 * skyMagnitude) * pixelScaleArcseconds(camera) ** 2;
}

/** Full width at half maximum of a star's image, arc seconds: grows as X^0.6 (Roddier 1981, Progress in Optics 19, 281). */
export function seeingAtAirmass(camera: Camera, airmass: number): number {
  return camera.seeingArcseconds * airmass ** 0.6;
}

/** The part of a star's light that falls on the pixel at whose middle it stands: a Gaussian image, 0 to 1. */
export function peakPixelFraction(fwhmArcseconds: number, pixelArcseconds: number): number {
  const sigma = fwhmArcseconds / (2 * Math.sqrt(2 * Math.LN2));
  return errorFunction(pixelArcseconds / 2 / (sigma * Math.SQRT2)) ** 2;
}

/** The most electrons that one pixel can report: full well, or the end of the 16-bit scale above the bias. */
export function saturationElectrons(camera: Camera): number {
  return Math.min(camera.fullWellElectrons, (65_535 - camera.biasAdu) * camera.gainElectronsPerAdu);
}

/** Field of view along the camera's width and height, degrees. */
export function fieldDegrees(camera: Camera): { readonly width: Degrees; readonly height: Degrees } {
  const scale = pixelScaleArcseconds(camera) / 3600;
  return { width: camera.widthPixels * scale, height: camera.heightPixels * scale };
}

/** What the CCD equation weighs. Electrons; per pixel where it says so. */
export interface SignalInputs {
  readonly signalPerSecond: number;
  readonly skyPerSecondPerPixel: number;
  readonly darkPerSecondPerPixel: number;
  readonly readNoise: number;
  readonly pixels: number;
  /** Pixels over which the background was measured; more make it surer. */
  readonly backgroundPixels: number;
  readonly gainElectronsPerAdu: number;
}

/** Rounding to whole counts adds this much noise, in counts: 1/√12. */
const ROUNDING_NOISE_ADU = Math.sqrt(1 / 12);

/**
 * Signal to noise of one exposure: the CCD equation, with the uncertainty of the background
 * (Merline & Howell 1995, Experimental Astronomy 6, 163; Howell, Handbook of CCD Astronomy, 2nd ed., 4.4).
 */
export function signalToNoise(inputs: SignalInputs, seconds: Seconds): number {
  const signal = inputs.signalPerSecond * seconds;
  const perPixel =
    (inputs.skyPerSecondPerPixel + inputs.darkPerSecondPerPixel) * seconds +
    inputs.readNoise ** 2 +
    (inputs.gainElectronsPerAdu * ROUNDING_NOISE_ADU) ** 2;
  const background = inputs.pixels * (1 + inputs.pixels / inputs.backgroundPixels) * perPixel;
  return signal / Math.sqrt(signal + background);
}

/** Abramowitz & Stegun 7.1.26, for arguments of 0 and more: within 1.5 × 10⁻⁷. */
function errorFunction(x: number): number {
  const t = 1 / (1 + 0.3275911 * x);
  const series = [0.254829592, -0.284496736, 1.421413741, -1.453152027, 1.061405429];
  const polynomial = series.reduceRight((sum, coefficient) => (sum + coefficient) * t, 0);
  return 1 - polynomial * Math.exp(-x * x);
}
