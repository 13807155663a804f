/** What a frame of this target would show, from the observatory's own model: a suggested exposure, a warning. */
import type { UtcMillis } from "../base/units.js";
import type { Config } from "../config/config.js";
import { seconds } from "../notices/words/amounts.js";
import { assessExposure, type Suggestion, suggestExposure } from "../observatory/exposure.js";
import type { Filter } from "../observatory/observatory.js";
import type { Wish } from "../queue/request.js";
import type { Target } from "../sky/target.js";

/** Used where nothing is known of the target's brightness at that time, seconds. Common practice, no source. */
const ORDINARY_EXPOSURE_SECONDS = 20;
/** A request should not take the telescope for longer than this by default, seconds. Common practice, no source. */
const LONGEST_SUGGESTED_SECONDS = 120;

/** An exposure and frames that suit the target at an instant, within what may be asked for; null below the horizon. */
export function suggested(
  target: Target,
  filterName: string,
  unixMs: UtcMillis,
  config: Config,
): Suggestion | null {
  const filter = filterOf(config, filterName);
  if (!filter) return null;
  const { longestExposureSeconds, mostFrames } = config.queue;
  const longestSeconds = Math.min(LONGEST_SUGGESTED_SECONDS, longestExposureSeconds);
  const bounds = { shortestSeconds: Math.min(0.1, longestSeconds), longestSeconds, mostFrames };
  return suggestExposure(target, filter, unixMs, config.observatory, bounds);
}

/** The exposure taken when none was asked for, seconds. */
export function usualExposure(target: Target, filterName: string, unixMs: UtcMillis, config: Config): number {
  const longest = config.queue.longestExposureSeconds;
  return (
    suggested(target, filterName, unixMs, config)?.exposureSeconds ??
    Math.min(ORDINARY_EXPOSURE_SECONDS, longest)
  );
}

/** One sentence when the target itself would be over the top; null when it would not. */
export function saturationWarning(wish: Wish, unixMs: UtcMillis, config: Config): string | null {
  const filter = filterOf(config, wish.filter);
  if (!filter) return null;
  const seen = assessExposure(wish.target, filter, wish.exposureSeconds, 1, unixMs, config.observatory);
  if (!seen?.saturates) return null;
  const better = suggested(wish.target, wish.filter, unixMs, config);
  if (better && !better.saturates && better.exposureSeconds < wish.exposureSeconds) {
    return `${seconds(wish.exposureSeconds)} will overexpose it; ${seconds(better.exposureSeconds)} would not.`;
  }
  const filterHelp = better?.betterFilter ? `: filter ${better.betterFilter} dims it more` : "";
  return `It is so bright that ${seconds(wish.exposureSeconds)} will overexpose it${filterHelp}.`;
}

function filterOf(config: Config, name: string): Filter | undefined {
  return config.observatory.camera.filters.find((each) => each.name === name);
}
