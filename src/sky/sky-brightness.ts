/** How bright the sky is where the telescope points: the dark sky, and what moonlight adds. */
import { type Degrees, RADIANS_PER_DEGREE } from "../base/units.js";

/**
 * All formulas: Krisciunas & Schaefer 1991, PASP 103, 1033 (good to about a quarter of the brightness, for the V
 * band and Moon distances above 5°). Brightness is in nanolamberts within and in magnitudes per square arc second
 * without.
 */
export interface SkyCircumstances {
  /** Moonless brightness at the zenith, magnitudes per square arc second. */
  readonly darkMagnitude: number;
  /** Magnitudes per airmass. */
  readonly extinction: number;
  /** True altitude of the piece of sky; taken as 0 below the horizon. */
  readonly altitudeDegrees: Degrees;
  /** null when moonlight does not count. */
  readonly moon: Moonlight | null;
}

export interface Moonlight {
  /** At the Moon between Sun and Earth: 0 when full. */
  readonly phaseAngleDegrees: Degrees;
  /** Below 0 it gives no light. */
  readonly altitudeDegrees: Degrees;
  /** From the piece of sky to the Moon. */
  readonly separationDegrees: Degrees;
}

/** Brightness of a piece of sky, magnitudes per square arc second. */
export function skyMagnitude(sky: SkyCircumstances): number {
  return magnitudeOf(darkNanolamberts(sky) + (sky.moon === null ? 0 : moonNanolamberts(sky, sky.moon)));
}

/** From magnitudes per square arc second to nanolamberts. */
export function nanolambertsOf(magnitude: number): number {
  return 34.08 * Math.exp(20.7233 - 0.92104 * magnitude);
}

/** The reverse. */
export function magnitudeOf(nanolamberts: number): number {
  return (20.7233 - Math.log(nanolamberts / 34.08)) / 0.92104;
}

/** Airglow is a shell, brighter and more dimmed towards the horizon. */
function darkNanolamberts({ darkMagnitude, extinction, altitudeDegrees }: SkyCircumstances): number {
  const airmass = skyAirmass(altitudeDegrees);
  return nanolambertsOf(darkMagnitude) * airmass * 10 ** (-0.4 * extinction * (airmass - 1));
}

/** Moonlight dimmed on its way in, scattered along the line of sight. */
function moonNanolamberts({ extinction, altitudeDegrees }: SkyCircumstances, moon: Moonlight): number {
  if (moon.altitudeDegrees <= 0) return 0;
  const arriving = 10 ** (-0.4 * extinction * skyAirmass(moon.altitudeDegrees));
  const scattered = 1 - 10 ** (-0.4 * extinction * skyAirmass(altitudeDegrees));
  return scattering(moon.separationDegrees) * illuminance(moon.phaseAngleDegrees) * arriving * scattered;
}

/** Foot-candles outside the atmosphere. */
function illuminance(phaseAngleDegrees: Degrees): number {
  const angle = Math.abs(phaseAngleDegrees);
  return 10 ** (-0.4 * (3.84 + 0.026 * angle + 4e-9 * angle ** 4));
}

/** Rayleigh scattering by the air and Mie scattering by aerosols. */
function scattering(separationDegrees: Degrees): number {
  const cosine = Math.cos(separationDegrees * RADIANS_PER_DEGREE);
  const rayleigh = 10 ** 5.36 * (1.06 + cosine ** 2);
  // Within a quarter degree the line of sight meets the Moon itself, and the formula would run away.
  const near = Math.max(separationDegrees, 0.25);
  const mie = near < 10 ? 6.2e7 / near ** 2 : 10 ** (6.15 - near / 40);
  return rayleigh + mie;
}

/** The airmass of a scattering layer, finite at the horizon. */
function skyAirmass(altitudeDegrees: Degrees): number {
  const cosine = Math.cos(Math.max(0, altitudeDegrees) * RADIANS_PER_DEGREE);
  return 1 / Math.sqrt(1 - 0.96 * cosine ** 2);
}
