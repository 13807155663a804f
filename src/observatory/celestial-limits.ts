/** The limits that the Sun and the Moon set. */
import { type Degrees, HOUR, MINUTE } from "../base/units.js";
import { inBoth } from "../sky/interval.js";
import type { Curve } from "../sky/search.js";
import type { Target } from "../sky/target.js";
import {
  angleBetween,
  bodyTrack,
  directionAt,
  horizontalOf,
  sinAltitudeAt,
  type Track,
} from "../sky/track.js";
import { type Case, cosineOf, type Limit, type Reading, sineOf } from "./limit.js";
import { nightSkyOf } from "./night-sky.js";
import type { Limits } from "./observatory.js";

/** The sky is too bright for any frame while the Sun is above this: the end of civil twilight. */
export const TOO_BRIGHT_SUN: Degrees = -6;

/** Never nearer the Sun than this, day or night: for the eye and the optics. */
export const nearSun: Limit = {
  name: "near-sun",
  curve: (one) => apartCurve(one.track, sunOf(one), one.observatory.limits.sunSeparationDegrees),
  reading: (one, unixMs) =>
    apartReading(one.track, sunOf(one), one.observatory.limits.sunSeparationDegrees, unixMs),
};

/** Dark enough: the Sun low enough for this kind of target. */
export const sunUp: Limit = {
  name: "sun-up",
  curve: (one) => {
    const sine = sineOf(sunLimit(one));
    const sun = sunOf(one);
    return { stepMs: 20 * MINUTE, at: (unixMs) => sine - sinAltitudeAt(sun, unixMs) };
  },
  reading: (one, unixMs) => ({
    valueDegrees: horizontalOf(sunOf(one), unixMs).altitudeDegrees,
    limitDegrees: sunLimit(one),
  }),
  stretches: ({ target, night, observatory }, within) => {
    const { dark, dusky } = nightSkyOf(night, observatory);
    return inBoth(isBright(target, observatory.limits) ? dusky : dark, [within]);
  },
};

/** Clear of the Moon's glare; the Moon itself is excepted. */
export const nearMoon: Limit = {
  name: "near-moon",
  curve: (one) =>
    one.target.type === "moon"
      ? null
      : apartCurve(one.track, moonOf(one), one.observatory.limits.moonSeparationDegrees),
  reading: (one, unixMs) =>
    apartReading(one.track, moonOf(one), one.observatory.limits.moonSeparationDegrees, unixMs),
};

/** Bright enough for the twilight limit of bright targets: planets but Pluto, the Moon, stars above the magnitude set. */
export function isBright(target: Target, limits: Limits): boolean {
  if (target.kind === "body") return target.body !== "Pluto";
  const isStar = target.type === "star" || target.type === "double star" || target.type === "variable star";
  return isStar && target.magnitude !== null && target.magnitude < limits.brightMagnitude;
}

function sunLimit({ target, observatory: { limits } }: Case): Degrees {
  return isBright(target, limits) ? limits.brightSunAltitudeDegrees : limits.sunAltitudeDegrees;
}

function sunOf({ night, observatory }: Case): Track {
  return nightSkyOf(night, observatory).sun;
}

function moonOf({ night, observatory }: Case): Track {
  return bodyTrack("Moon", night, observatory.site);
}

function apartCurve(track: Track, other: Track, limit: Degrees): Curve | null {
  if (limit <= 0) return null;
  const cosine = cosineOf(limit);
  const at = (unixMs: number): number => {
    const a = directionAt(track, unixMs);
    const b = directionAt(other, unixMs);
    return cosine - (a.x * b.x + a.y * b.y + a.z * b.z);
  };
  return { stepMs: HOUR, at };
}

function apartReading(track: Track, other: Track, limitDegrees: Degrees, unixMs: number): Reading {
  return {
    valueDegrees: angleBetween(directionAt(track, unixMs), directionAt(other, unixMs)),
    limitDegrees,
  };
}
