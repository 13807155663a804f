/** The Sun's part in a night's windows: found once for a night, shared by all targets. */
import { type Degrees, MINUTE, RADIANS_PER_DEGREE } from "../base/units.js";
import type { Interval } from "../sky/interval.js";
import type { Night } from "../sky/night.js";
import { whileNotNegative } from "../sky/search.js";
import { bodyTrack, sinAltitudeAt, type Track } from "../sky/track.js";
import type { Observatory } from "./observatory.js";

/** The Sun over one night at one observatory. */
export interface NightSky {
  readonly sun: Track;
  /** While it is dark enough for faint targets. */
  readonly dark: readonly Interval[];
  /** While it is dark enough for bright ones. */
  readonly dusky: readonly Interval[];
}

/** Nights remembered for each observatory: a week's look ahead, twice. */
const NIGHTS_KEPT = 16;

const known = new WeakMap<Observatory, Map<string, NightSky>>();

/** The Sun's part, computed at the first asking. */
export function nightSkyOf(night: Night, observatory: Observatory): NightSky {
  const nights = known.get(observatory) ?? new Map<string, NightSky>();
  known.set(observatory, nights);
  const key = `${night.startUnixMs} ${night.endUnixMs}`;
  const found = nights.get(key);
  if (found !== undefined) return found;
  const sky = makeNightSky(night, observatory);
  if (nights.size >= NIGHTS_KEPT) nights.delete(nights.keys().next().value as string);
  nights.set(key, sky);
  return sky;
}

function makeNightSky(night: Night, observatory: Observatory): NightSky {
  const sun = bodyTrack("Sun", night, observatory.site);
  const below = (limit: Degrees): Interval[] => {
    const sine = Math.sin(limit * RADIANS_PER_DEGREE);
    const curve = { stepMs: 20 * MINUTE, at: (unixMs: number) => sine - sinAltitudeAt(sun, unixMs) };
    return whileNotNegative(curve, night.startUnixMs, night.endUnixMs);
  };
  const { sunAltitudeDegrees, brightSunAltitudeDegrees } = observatory.limits;
  return { sun, dark: below(sunAltitudeDegrees), dusky: below(brightSunAltitudeDegrees) };
}
