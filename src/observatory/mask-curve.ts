/** A target's height above the horizon mask through the night. */
import { DEGREES_PER_RADIAN, MINUTE, RADIANS_PER_DEGREE, type UtcMillis } from "../base/units.js";
import { type Interval, joined, outside } from "../sky/interval.js";
import { type Curve, crossingsOf, whileNotNegative } from "../sky/search.js";
import { siderealMillis, wrapped } from "../sky/sidereal.js";
import { horizontalOf, placeAt, sinAltitudeAt, type Track } from "../sky/track.js";
import { maskAltitude, maskCorners, maskTop } from "./horizon-mask.js";
import type { Limits } from "./observatory.js";

const STEP = 5 * MINUTE;

/** Altitude minus the mask's at the target's azimuth, degrees. */
export function maskCurve(track: Track, limits: Limits): Curve {
  const at = (unixMs: UtcMillis): number => {
    const { altitudeDegrees, azimuthDegrees } = horizontalOf(track, unixMs);
    return altitudeDegrees - maskAltitude(azimuthDegrees, limits);
  };
  return { stepMs: STEP, at };
}

/** The parts of an interval in which the target stands above the mask. */
export function whileAboveMask(track: Track, limits: Limits, within: Interval): readonly Interval[] {
  const top = maskTop(limits);
  if (top <= limits.altitudeDegrees) return [within];
  const sine = Math.sin(top * RADIANS_PER_DEGREE);
  const overTop: Curve = { stepMs: 30 * MINUTE, at: (unixMs) => sinAltitudeAt(track, unixMs) - sine };
  const clear = whileNotNegative(overTop, within.openUnixMs, within.closeUnixMs);
  const curve = maskCurve(track, limits);
  const partly = outside(clear, within).flatMap((low) => {
    const marks = cornerTimes(track, maskCorners(limits), low);
    return whileNotNegative({ ...curve, marks }, low.openUnixMs, low.closeUnixMs);
  });
  return joined([...clear, ...partly]);
}

/** When the target passes the azimuth of a mask corner. */
function cornerTimes(
  track: Track,
  corners: readonly number[],
  { openUnixMs, closeUnixMs }: Interval,
): UtcMillis[] {
  const azimuth = (unixMs: UtcMillis): number => horizontalOf(track, unixMs).azimuthDegrees;
  const looks = [openUnixMs, ...elongations(track, openUnixMs, closeUnixMs)];
  for (let unixMs = openUnixMs + STEP; unixMs < closeUnixMs; unixMs += STEP) looks.push(unixMs);
  looks.push(closeUnixMs);
  looks.sort((a, b) => a - b);
  const times: UtcMillis[] = [];
  for (let index = 1; index < looks.length; index++) {
    const from = looks[index - 1]!;
    const to = looks[index]!;
    const start = azimuth(from);
    const turn = turnBetween(start, azimuth(to));
    for (const corner of corners) {
      const ahead = turnBetween(start, corner);
      if (ahead * turn <= 0 || Math.abs(ahead) > Math.abs(turn)) continue;
      const past: Curve = { stepMs: to - from, at: (unixMs) => turnBetween(corner, azimuth(unixMs)) };
      times.push(...crossingsOf(past, from, to).map((crossing) => crossing.unixMs));
    }
  }
  return times;
}

/** When the azimuth turns back: the parallactic angle is a right angle, cos H = tan φ / tan δ (Meeus, ch. 14). */
function elongations(track: Track, openUnixMs: UtcMillis, closeUnixMs: UtcMillis): UtcMillis[] {
  const { hourAngleRadians, declinationRadians } = placeAt(track, openUnixMs);
  const { sinLatitude, cosLatitude } = track.ground;
  const cosine = sinLatitude / cosLatitude / Math.tan(declinationRadians);
  if (!(Math.abs(cosine) < 1)) return [];
  const hourAngle = Math.acos(cosine);
  return [hourAngle, -hourAngle]
    .map((turning) => {
      const ahead = wrapped(turning - hourAngleRadians);
      return openUnixMs + siderealMillis(ahead < 0 ? ahead + 2 * Math.PI : ahead);
    })
    .filter((unixMs) => unixMs < closeUnixMs);
}

/** From one azimuth to another the shorter way, degrees, eastward positive. */
function turnBetween(from: number, to: number): number {
  return wrapped((to - from) * RADIANS_PER_DEGREE) * DEGREES_PER_RADIAN;
}
