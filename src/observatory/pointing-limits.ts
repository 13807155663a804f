/** The limits that the ground and the mount set: where the telescope can point at all. */
import { DEGREES_PER_RADIAN, HOUR, MINUTE } from "../base/units.js";
import { horizontalOf, placeAt, sinAltitudeAt } from "../sky/track.js";
import { maskAltitude } from "./horizon-mask.js";
import { cosineOf, type Limit, sineOf } from "./limit.js";
import { maskCurve, whileAboveMask } from "./mask-curve.js";

/** Not below the altitude limit (true altitude). */
export const belowLimit: Limit = {
  name: "below-limit",
  curve: ({ track, observatory }) => {
    const sine = sineOf(observatory.limits.altitudeDegrees);
    return { stepMs: HOUR / 2, at: (unixMs) => sinAltitudeAt(track, unixMs) - sine };
  },
  reading: ({ track, observatory }, unixMs) => ({
    valueDegrees: horizontalOf(track, unixMs).altitudeDegrees,
    limitDegrees: observatory.limits.altitudeDegrees,
  }),
};

/** Not behind trees and walls (true altitude against the mask at the target's azimuth). */
export const behindMask: Limit = {
  name: "mask",
  curve: ({ track, observatory: { limits } }) =>
    limits.horizonMask.length === 0 ? null : maskCurve(track, limits),
  reading: ({ track, observatory }, unixMs) => {
    const { altitudeDegrees, azimuthDegrees } = horizontalOf(track, unixMs);
    return {
      valueDegrees: altitudeDegrees,
      limitDegrees: maskAltitude(azimuthDegrees, observatory.limits),
    };
  },
  stretches: ({ track, observatory: { limits } }, within) => whileAboveMask(track, limits, within),
};

/** Not further from the meridian than the mount may turn. */
export const beyondHourAngle: Limit = {
  name: "hour-angle",
  curve: ({ track, observatory }) => {
    const hours = observatory.limits.hourAngleHours;
    if (hours === null || hours >= 12) return null;
    const cosine = cosineOf(hours * 15);
    return {
      stepMs: HOUR / 2,
      at: (unixMs) => Math.cos(placeAt(track, unixMs).hourAngleRadians) - cosine,
    };
  },
  reading: ({ track, observatory }, unixMs) => ({
    valueDegrees: Math.abs(placeAt(track, unixMs).hourAngleRadians) * DEGREES_PER_RADIAN,
    limitDegrees: (observatory.limits.hourAngleHours ?? 12) * 15,
  }),
};

/** Not so near the zenith that an altazimuth mount cannot follow. */
export const inZenithHole: Limit = {
  name: "zenith-hole",
  curve: ({ track, observatory }) => {
    const hole = observatory.limits.zenithHoleDegrees;
    if (hole === null || hole <= 0) return null;
    const cosine = cosineOf(hole);
    return { stepMs: 10 * MINUTE, at: (unixMs) => cosine - sinAltitudeAt(track, unixMs) };
  },
  reading: ({ track, observatory }, unixMs) => ({
    valueDegrees: 90 - horizontalOf(track, unixMs).altitudeDegrees,
    limitDegrees: observatory.limits.zenithHoleDegrees ?? 0,
  }),
};
