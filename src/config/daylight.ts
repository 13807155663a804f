/** A practice telescope that works by day: to show what the Sun does to a frame. */
import type { Config } from "./config.js";

/** No Sun stands higher: every hour counts as dark enough. */
const ANY_SUN = 90;

/** The configuration with the limits on twilight lifted, where the practice telescope is to work by day. */
export function withDaylight(config: Config): Config {
  const { link, practice } = config.telescope;
  if (link !== "practice" || !practice.daylight) return config;
  const { observatory } = config;
  const limits = {
    ...observatory.limits,
    sunAltitudeDegrees: ANY_SUN,
    brightSunAltitudeDegrees: ANY_SUN,
  };
  return { ...config, observatory: { ...observatory, limits } };
}
