/** What a frame of this target would show, from the observatory's own model: a suggested exposure, a warning. */
import { capital, count } from "../../base/english.js";
import type { UtcMillis } from "../../base/units.js";
import type { Config } from "../../config/config.js";
import { seconds } from "../../notices/words/amounts.js";
import {
  type Assessment,
  assessExposure,
  type SuggestedExposure,
  suggestExposure,
} from "../../observatory/exposure.js";
import { lineMagnitude } from "../../observatory/glow/emission-lines.js";
import { brightStarIn } from "../../observatory/glow/surface-brightness.js";
import type { Camera, Filter } from "../../observatory/observatory.js";
import { fieldDegrees } from "../../observatory/photometry.js";
import type { Wish } from "../../queue/request.js";
import type { FixedTarget, Target } from "../../sky/target.js";
import { usualFilter } from "../read/read-sky.js";
import type { Usual } from "../read/wish.js";

/** Used where nothing is known of the target's brightness at that time, seconds. Common practice, no source. */
const ORDINARY_EXPOSURE_SECONDS = 20;
/** A request should not take the telescope for longer than this by default, seconds. Common practice, no source. */
const LONGEST_SUGGESTED_SECONDS = 60;
/** What a signal to noise looks like, by its least. Common practice, no source. */
const LOOKS = [
  [100, "a picture clean enough to measure"],
  [30, "a clean picture"],
  [10, "a grainy picture"],
  [3, "a target just visible"],
] as const;
/** Below the least of them a target is lost in the noise. */
const HOPELESS = 3;

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
  const { shortestExposureSeconds: shortestSeconds } = config.observatory.camera;
  const bounds = { shortestSeconds, longestSeconds, mostFrames };
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
  const { longestExposureSeconds } = config.observatory.camera;
  const ordinary = Math.min(
    ORDINARY_EXPOSURE_SECONDS,
    config.queue.longestExposureSeconds,
    longestExposureSeconds,
  );
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

/** "a clean picture, signal to noise about 36"; null where its light is not known. */
export function signalWords({ signalToNoise, outskirtsSignalToNoise: outskirts }: Assessment): string | null {
  if (signalToNoise === null) return null;
  const faint = outskirts !== null && outskirts < HOPELESS && signalToNoise >= HOPELESS;
  const number = signalToNoise < 10 ? signalToNoise.toFixed(1) : signalToNoise.toFixed(0);
  return `${lookOf(signalToNoise)}, signal to noise about ${number}${faint ? " in its bright part; its outskirts stay lost in the noise" : ""}`;
}

function lookOf(signalToNoise: number): string {
  return LOOKS.find(([least]) => signalToNoise >= least)?.[1] ?? "a target lost in the noise";
}

/** What is said of a frame beside its signal: light that nobody knows, stars that burn out, a target larger than the field. */
export function frameNotes(wish: LightWish, unixMs: UtcMillis, config: Config): string[] {
  const filter = filterOf(config, wish.filter);
  const { target } = wish;
  if (!filter || target.kind !== "fixed") return [];
  const seen = assessExposure(target, filter, wish.exposureSeconds, 1, unixMs, config.observatory);
  const star = brightStarIn(target);
  const unknown = seen?.light.kind === "gas";
  const burns = seen !== null && star !== null && star.magnitude < seen.saturationMagnitude;
  const larger = fieldWords(target, config.observatory.camera);
  return [
    ...(unknown ? [`How bright it is in ${filter.name} is not known here: try one frame first.`] : []),
    ...(burns ? [`${capital(star.name)} will burn out; the rest stays as it should.`] : []),
    ...(larger === null ? [] : [larger]),
  ];
}

/** One sentence where a target is larger than the field. */
function fieldWords({ sizeArcminutes, shorterArcminutes }: FixedTarget, camera: Camera): string | null {
  const { width, height } = fieldDegrees(camera);
  const [long, short] = [Math.max(width, height) * 60, Math.min(width, height) * 60];
  if (sizeArcminutes === null || sizeArcminutes <= long * 1.1) return null;
  const both = (a: number, b: number): string =>
    a >= 90 ? `${(a / 60).toFixed(1)}° × ${(b / 60).toFixed(1)}°` : `${a.toFixed(0)}′ × ${b.toFixed(0)}′`;
  const itself = both(sizeArcminutes, shorterArcminutes ?? sizeArcminutes);
  return `It is ${itself} large and the field ${both(long, short)}: a frame shows its core.`;
}

type LightWish = Pick<Wish, "target" | "filter" | "exposureSeconds" | "frames">;

/** What so many frames would show; null below the horizon. */
export function assessed(wish: LightWish, unixMs: UtcMillis, config: Config): Assessment | null {
  const filter = filterOf(config, wish.filter);
  if (!filter) return null;
  return assessExposure(wish.target, filter, wish.exposureSeconds, wish.frames, unixMs, config.observatory);
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
  // What glows in the filter's own line stands out the better the narrower it is.
  const inItsLine = target.kind === "fixed" && lineMagnitude(target, filter) !== undefined;
  const wider =
    !inItsLine &&
    config.observatory.camera.filters.some((each) => each.zeroPointElectrons > filter.zeroPointElectrons);
  const help =
    longer !== null
      ? `: ask for ${seconds(longer)} or so`
      : wider
        ? ": a filter that lets more light through would help"
        : better && better.frames > frames
          ? `: ${count(better.frames, "frame")} would show more`
          : "; it is too faint for this camera";
  return `${seconds(exposureSeconds)} is too short for it to show in filter ${wish.filter}${help}.`;
}

function filterOf(config: Config, name: string): Filter | undefined {
  return config.observatory.camera.filters.find((each) => each.name === name);
}
