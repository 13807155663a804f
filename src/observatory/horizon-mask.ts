/** What trees and walls hide: the mask's altitude at an azimuth. */
import { bisectRight } from "d3-array";
import type { Degrees } from "../base/units.js";
import type { Limits, MaskCorner } from "./observatory.js";

/** A mask made ready for look-up: corners in order of azimuth. */
interface Outline {
  readonly azimuths: readonly Degrees[];
  readonly altitudes: readonly Degrees[];
  readonly highest: Degrees;
}

/** No mask hides nothing. */
const NADIR: Degrees = -90;

const outlines = new WeakMap<readonly MaskCorner[], Outline>();

/**
 * Altitude below which the horizon mask hides the sky, degrees, at any azimuth (also beyond 0 to 360).
 * Straight lines join the corners, over north too; two corners at one azimuth make a wall, whose top counts.
 * −90 without a mask.
 */
export function maskAltitude(azimuthDegrees: Degrees, limits: Pick<Limits, "horizonMask">): Degrees {
  const { azimuths, altitudes } = outlineOf(limits.horizonMask);
  if (azimuths.length === 0) return NADIR;
  const azimuth = within360(azimuthDegrees);
  const after = bisectRight(azimuths, azimuth);
  const left = (after + azimuths.length - 1) % azimuths.length;
  const right = after % azimuths.length;
  if (azimuths[left] === azimuth) return wallTop(azimuths, altitudes, azimuth);
  const width = within360(azimuths[right]! - azimuths[left]!) || 360;
  const part = within360(azimuth - azimuths[left]!) / width;
  return altitudes[left]! + part * (altitudes[right]! - altitudes[left]!);
}

/** The mask's highest corner, degrees; −90 without a mask. Nothing above it is hidden. */
export function maskTop(limits: Pick<Limits, "horizonMask">): Degrees {
  return outlineOf(limits.horizonMask).highest;
}

/** Azimuths of the corners, in order, degrees. */
export function maskCorners(limits: Pick<Limits, "horizonMask">): readonly Degrees[] {
  return outlineOf(limits.horizonMask).azimuths;
}

function outlineOf(mask: readonly MaskCorner[]): Outline {
  const found = outlines.get(mask);
  if (found !== undefined) return found;
  // A corner at 360° ends the round that one at 0° begins, so it comes first.
  const corners = mask
    .map(({ azimuthDegrees, altitudeDegrees }) => ({
      azimuthDegrees: within360(azimuthDegrees),
      altitudeDegrees,
      begins: azimuthDegrees < 360 ? 1 : 0,
    }))
    .sort((a, b) => a.azimuthDegrees - b.azimuthDegrees || a.begins - b.begins);
  const altitudes = corners.map((corner) => corner.altitudeDegrees);
  const outline = {
    azimuths: corners.map((corner) => corner.azimuthDegrees),
    altitudes,
    highest: Math.max(NADIR, ...altitudes),
  };
  outlines.set(mask, outline);
  return outline;
}

function wallTop(azimuths: readonly Degrees[], altitudes: readonly Degrees[], azimuth: Degrees): Degrees {
  return Math.max(...altitudes.filter((_, index) => azimuths[index] === azimuth));
}

function within360(degrees: Degrees): Degrees {
  const turned = degrees % 360;
  return turned < 0 ? (turned + 360) % 360 : turned;
}
