/** The Sun's part in a night's windows: found once for a night, shared by all targets. */
import type { Interval } from "../sky/interval.js";
import type { Night } from "../sky/night.js";
import { bodyTrack, type Track } from "../sky/track.js";
import { whileSunBelow } from "../sky/twilight.js";
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

function makeNightSky(night: Night, { site, limits }: Observatory): NightSky {
  return {
    sun: bodyTrack("Sun", night, site),
    dark: whileSunBelow(limits.sunAltitudeDegrees, night, site),
    dusky: whileSunBelow(limits.brightSunAltitudeDegrees, night, site),
  };
}
