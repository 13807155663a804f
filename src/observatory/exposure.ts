/** How long to expose: signal to noise, saturation, and a suggestion. */
import type { Seconds, UtcMillis } from "../base/units.js";
import type { Target } from "../sky/target.js";
import { type Light, lightOf } from "./light.js";
import type { Camera, Filter, Observatory } from "./observatory.js";
import {
  peakPixelFraction,
  pixelScaleArcseconds,
  saturationElectrons,
  signalToNoise,
  starElectronsPerSecond,
} from "./photometry.js";

/** What a number of frames of one length would show. */
export interface Assessment {
  /** Of all frames together; null where the target's light is not known. */
  readonly signalToNoise: number | null;
  /** The same for the outskirts of something extended; null for the rest. */
  readonly outskirtsSignalToNoise: number | null;
  /** The target itself is over the top in its brightest pixel. */
  readonly saturates: boolean;
  /** Stars brighter than this saturate in one frame, wherever they stand in it. */
  readonly saturationMagnitude: number;
  readonly light: Light;
}

export interface SuggestedExposure extends Assessment {
  readonly exposureSeconds: Seconds;
  readonly frames: number;
  /** When even the shortest exposure saturates: a filter in which it does not; null otherwise or when none helps. */
  readonly betterFilter: string | null;
}

/** What a person may ask for. */
export interface ExposureBounds {
  readonly shortestSeconds: Seconds;
  readonly longestSeconds: Seconds;
  readonly mostFrames: number;
}

export const ORDINARY_BOUNDS: ExposureBounds = { shortestSeconds: 0.1, longestSeconds: 300, mostFrames: 10 };

/** Signal to noise worth having: 100 (a hundredth of a magnitude) for a star, 30 for a clean surface (common practice, no source). */
const GOAL = { star: 100, extended: 30, disc: 100, unknown: 0, gas: 0 } as const;

/** Fill the brightest pixel to at most this part of saturation, to stay linear (common practice, no source). */
const FILL = 0.7;

/** With the sky at this many times the read noise squared, reading out adds 10 % to the noise (common practice, no source). */
const SKY_OVER_READ_NOISE = 5;

/** Lengths that people ask for, seconds. */
const LENGTHS = [
  0.01, 0.02, 0.05, 0.1, 0.2, 0.5, 1, 2, 5, 10, 15, 20, 30, 45, 60, 90, 120, 180, 240, 300, 420, 600, 900,
  1200, 1800,
] as const;

/** What frames of a given length would show at an instant; null while the target is below the horizon. */
export function assessExposure(
  target: Target,
  filter: Filter,
  exposureSeconds: Seconds,
  frames: number,
  unixMs: UtcMillis,
  observatory: Observatory,
): Assessment | null {
  const light = lightOf(target, filter, unixMs, observatory);
  return light === null ? null : assess(light, filter, observatory.camera, exposureSeconds, frames);
}

/** An exposure and a number of frames that suit a target at an instant; null while it is below the horizon. */
export function suggestExposure(
  target: Target,
  filter: Filter,
  unixMs: UtcMillis,
  observatory: Observatory,
  bounds: ExposureBounds = ORDINARY_BOUNDS,
): SuggestedExposure | null {
  const light = lightOf(target, filter, unixMs, observatory);
  if (light === null) return null;
  const { camera } = observatory;
  const exposureSeconds = suitedLength(light, camera, bounds);
  const single = assess(light, filter, camera, exposureSeconds, 1);
  const wanted = single.signalToNoise === null ? 1 : (GOAL[light.kind] / single.signalToNoise) ** 2;
  // A hair of tolerance, lest rounding ask for one frame more.
  const frames = Math.min(Math.max(1, Math.ceil(wanted - 1e-6)), bounds.mostFrames);
  return {
    ...assess(light, filter, camera, exposureSeconds, frames),
    exposureSeconds,
    frames,
    betterFilter: single.saturates ? filterThatDoes(target, unixMs, observatory, exposureSeconds) : null,
  };
}

function assess(light: Light, filter: Filter, camera: Camera, seconds: Seconds, frames: number): Assessment {
  const inputs = {
    signalPerSecond: light.signalPerSecond,
    skyPerSecondPerPixel: light.skyPerSecondPerPixel,
    darkPerSecondPerPixel: camera.darkElectronsPerSecond,
    readNoise: camera.readNoiseElectrons,
    pixels: light.pixels,
    backgroundPixels: 10 * light.pixels,
    gainElectronsPerAdu: camera.gainElectronsPerAdu,
  };
  const room = saturationElectrons(camera) - backgroundRate(light, camera) * seconds;
  const peak = peakPixelFraction(light.seeingArcseconds, pixelScaleArcseconds(camera));
  const zeroMagnitude = starElectronsPerSecond(filter, 0, light.airmass) * peak * seconds;
  return {
    signalToNoise: isKnown(light) ? signalToNoise(inputs, seconds) * Math.sqrt(frames) : null,
    outskirtsSignalToNoise:
      light.outskirtsPerSecond === null
        ? null
        : signalToNoise({ ...inputs, signalPerSecond: light.outskirtsPerSecond }, seconds) *
          Math.sqrt(frames),
    saturates: light.peakPerSecond * seconds > room,
    saturationMagnitude: room > 0 ? 2.5 * Math.log10(zeroMagnitude / room) : Number.POSITIVE_INFINITY,
    light,
  };
}

/** Whether there is a signal to speak of. */
function isKnown({ kind }: Light): boolean {
  return kind !== "unknown" && kind !== "gas";
}

/**
 * The shortest usual length that reaches the goal, and no shorter than it takes to read out, if it neither saturates nor
 * lasts too long; else the longest that may.
 */
function suitedLength(light: Light, camera: Camera, bounds: ExposureBounds): Seconds {
  const fill = (FILL * saturationElectrons(camera)) / (light.peakPerSecond + backgroundRate(light, camera));
  const shortest = Math.max(bounds.shortestSeconds, camera.shortestExposureSeconds);
  const most = Math.min(fill, bounds.longestSeconds, camera.longestExposureSeconds);
  const enough = Math.max(secondsForGoal(light, camera), camera.readOutSeconds);
  const allowed = LENGTHS.filter((length) => length >= shortest && length <= most);
  return allowed.find((length) => length >= enough) ?? allowed.at(-1) ?? shortest;
}

/** Where the CCD equation, without the uncertainty of the background, reaches the goal: a quadratic in the time. */
function secondsForGoal(light: Light, camera: Camera): Seconds {
  const readNoise = camera.readNoiseElectrons ** 2;
  if (light.kind === "unknown" || light.kind === "gas")
    return (SKY_OVER_READ_NOISE * readNoise) / light.skyPerSecondPerPixel;
  const goal = GOAL[light.kind] ** 2;
  const linear = goal * (light.signalPerSecond + light.pixels * backgroundRate(light, camera));
  const constant = goal * light.pixels * readNoise;
  const square = light.signalPerSecond ** 2;
  return (linear + Math.sqrt(linear ** 2 + 4 * square * constant)) / (2 * square);
}

function backgroundRate(light: Light, camera: Camera): number {
  return light.skyPerSecondPerPixel + camera.darkElectronsPerSecond;
}

/** The filter that lets through most of those in which this length does not saturate. */
function filterThatDoes(
  target: Target,
  unixMs: UtcMillis,
  observatory: Observatory,
  seconds: Seconds,
): string | null {
  const kinder = observatory.camera.filters.filter((filter) => {
    const assessment = assessExposure(target, filter, seconds, 1, unixMs, observatory);
    return assessment !== null && !assessment.saturates;
  });
  kinder.sort((a, b) => b.zeroPointElectrons - a.zeroPointElectrons);
  return kinder[0]?.name ?? null;
}
