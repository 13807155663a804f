/** What a frame of this target would show, from the observatory's own model: a suggested exposure, a warning. */
import type { UtcMillis } from "../../base/units.js";
import type { Config } from "../../config/config.js";
import { seconds } from "../../notices/words/amounts.js";
import { assessExposure, type SuggestedExposure, suggestExposure } from "../../observatory/exposure.js";
import type { Filter } from "../../observatory/observatory.js";
import type { Wish } from "../../queue/request.js";
import type { Target } from "../../sky/target.js";
import { usualFilter } from "../read/read-sky.js";
import { SHORTEST_EXPOSURE_SECONDS, type Usual } from "../read/wish.js";

/** Used where nothing is known of the target's brightness at that time, seconds. Common practice, no source. */
const ORDINARY_EXPOSURE_SECONDS = 20;
/** A request should not take the telescope for longer than this by default, seconds. Common practice, no source. */
const LONGEST_SUGGESTED_SECONDS = 60;
/** Below this signal to noise a target is lost in the noise. Common practice, no source. */
const HOPELESS = 1;

/** An exposure and frames that suit the target at an instant, within what may be asked for; null below the horizon. */
export function suggested(
  target: Target,
  filterName: string,
  unixMs: UtcMillis,
  config: Config,
): SuggestedExposure | null {
  const filter = filterOf(config, filterName);
  if (!filter) return null;
  const { longestExposureSeconds, mostFrames } = config.queue;
  const longestSeconds = Math.min(LONGEST_SUGGESTED_SECONDS, longestExposureSeconds);
  const bounds = { shortestSeconds: SHORTEST_EXPOSURE_SECONDS, longestSeconds, mostFrames };
  return suggestExposure(target, filter, unixMs, config.observatory, bounds);
}

/** What is taken where the person did not choose: the usual filter, or one that does not overexpose the target. */
export function usualWish(
  target: Target,
  filterName: string | undefined,
  unixMs: UtcMillis,
  config: Config,
): Usual {
  const filter = filterName ?? usualFilter(config.observatory.camera.filters);
  const first = suggested(target, filter, unixMs, config);
  const ordinary = Math.min(ORDINARY_EXPOSURE_SECONDS, config.queue.longestExposureSeconds);
  if (filterName === undefined && first?.saturates && first.betterFilter !== null) {
    const better = suggested(target, first.betterFilter, unixMs, config);
    return { filter: first.betterFilter, exposureSeconds: better?.exposureSeconds ?? ordinary };
  }
  return { filter, exposureSeconds: first?.exposureSeconds ?? ordinary };
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

/** One sentence when the frames together would show next to nothing of the target; null when they would. */
export function faintWarning(wish: Wish, unixMs: UtcMillis, config: Config): string | null {
  const filter = filterOf(config, wish.filter);
  if (!filter) return null;
  const { target, exposureSeconds, frames } = wish;
  const seen = assessExposure(target, filter, exposureSeconds, frames, unixMs, config.observatory);
  if (!seen || seen.signalToNoise === null || seen.signalToNoise >= HOPELESS) return null;
  const better = suggested(target, wish.filter, unixMs, config);
  const longer = better && better.exposureSeconds > exposureSeconds ? better.exposureSeconds : null;
  const help =
    longer === null ? "a filter that lets more light through would help" : `ask for ${seconds(longer)} or so`;
  return `${seconds(exposureSeconds)} is too short for it to show in filter ${wish.filter}: ${help}.`;
}

function filterOf(config: Config, name: string): Filter | undefined {
  return config.observatory.camera.filters.find((each) => each.name === name);
}
