/** Rising, transit and setting of anything, over any altitude limit. */
import { DEGREES_PER_RADIAN, type Degrees, HOUR, RADIANS_PER_DEGREE, type UtcMillis } from "../base/units.js";
import { moonSemidiameter } from "./appearance.js";
import type { Night } from "./night.js";
import type { Anything } from "./place-at.js";
import { type Curve, crossingsOf } from "./search.js";
import type { Site } from "./site.js";
import { bodyTrack, placeAt, sinAltitudeAt, type Track, trackOf } from "./track.js";
import { TWILIGHT_DEGREES } from "./twilight.js";

/** Mean refraction at the horizon: 34′ (Explanatory Supplement, 3rd ed., 12.1; Meeus, ch. 15). */
const HORIZON_REFRACTION_DEGREES: Degrees = 34 / 60;

/** One night of a target: the first rising, upper transit and setting after local noon. */
export interface RiseTransitSet {
  /** `rises-and-sets`: it crosses the limit at least once. */
  readonly course: "rises-and-sets" | "always-up" | "never-up";
  readonly riseUnixMs: UtcMillis | null;
  readonly transitUnixMs: UtcMillis | null;
  /** True altitude at transit. */
  readonly transitAltitudeDegrees: Degrees | null;
  readonly setUnixMs: UtcMillis | null;
}

/**
 * When it crosses an altitude (true, of the centre) and the meridian between a night's two noons.
 * Without an altitude: when its upper edge meets the horizon through 34′ of refraction.
 */
export function riseTransitSet(
  thing: Anything,
  night: Night,
  site: Site,
  altitudeDegrees?: Degrees,
): RiseTransitSet {
  const track = typeof thing === "string" ? bodyTrack(thing, night, site) : trackOf(thing, night, site);
  const limit = altitudeDegrees === undefined ? horizonOf(thing) : () => altitudeDegrees;
  const height: Curve = {
    stepMs: HOUR / 2,
    at: (unixMs) => sinAltitudeAt(track, unixMs) - Math.sin(limit(unixMs) * RADIANS_PER_DEGREE),
  };
  const crossings = crossingsOf(height, night.startUnixMs, night.endUnixMs);
  const transitUnixMs = upperTransit(track, night);
  return {
    course: courseOf(crossings.length, height.at(night.startUnixMs)),
    riseUnixMs: crossings.find((crossing) => crossing.rising)?.unixMs ?? null,
    transitUnixMs,
    transitAltitudeDegrees:
      transitUnixMs === null ? null : Math.asin(sinAltitudeAt(track, transitUnixMs)) * DEGREES_PER_RADIAN,
    setUnixMs: crossings.find((crossing) => !crossing.rising)?.unixMs ?? null,
  };
}

/** True altitude of the centre when the upper edge appears on the horizon. */
function horizonOf(thing: Anything): (unixMs: UtcMillis) => Degrees {
  const name = typeof thing === "string" ? thing : thing.kind === "body" ? thing.body : null;
  if (name === "Sun") return () => TWILIGHT_DEGREES.sunset;
  if (name === "Moon") return (unixMs) => -HORIZON_REFRACTION_DEGREES - moonSemidiameter(unixMs);
  return () => -HORIZON_REFRACTION_DEGREES;
}

/** The hour angle passes 0, its sine rising; null in a night too short for one. */
function upperTransit(track: Track, night: Night): UtcMillis | null {
  const westward: Curve = {
    stepMs: HOUR,
    at: (unixMs) => Math.sin(placeAt(track, unixMs).hourAngleRadians),
  };
  const crossings = crossingsOf(westward, night.startUnixMs, night.endUnixMs);
  return crossings.find((crossing) => crossing.rising)?.unixMs ?? null;
}

function courseOf(crossings: number, height: number): RiseTransitSet["course"] {
  if (crossings > 0) return "rises-and-sets";
  return height >= 0 ? "always-up" : "never-up";
}
