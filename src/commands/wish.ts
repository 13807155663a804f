/** From what was asked to a wish that the camera can take: defaults and ranges. */
import { Refusal } from "../base/refusal.js";
import type { UtcMillis } from "../base/units.js";
import type { Config } from "../config/config.js";
import { count, seconds } from "../notices/words/amounts.js";
import type { Wish } from "../queue/request.js";
import type { Target } from "../sky/target.js";
import { usualFilter } from "./read-sky.js";

/** The shortest exposure that is worth the shutter's own time, seconds. Common practice, no source. */
const SHORTEST_EXPOSURE_SECONDS = 0.01;

/** What may be left out of a wish. */
export interface AskedWish {
  readonly target: Target;
  readonly filter: string | undefined;
  readonly exposure: number | undefined;
  readonly frames: number | undefined;
  readonly notBeforeUnixMs: UtcMillis | null;
  readonly note: string | null;
}

/**
 * Fills in what was left out and checks the ranges.
 * @param usualExposure suggests seconds for a target and filter
 * @throws {Refusal} codes "bad-exposure", "bad-frames", "too-long-request"
 */
export function makeWish(
  asked: AskedWish,
  config: Config,
  usualExposure: (target: Target, filter: string) => number,
): Wish {
  const { target, notBeforeUnixMs, note } = asked;
  const filter = asked.filter ?? usualFilter(config.observatory.camera.filters);
  const frames = asked.frames ?? 1;
  const exposureSeconds = asked.exposure ?? usualExposure(target, filter);
  checkRanges(exposureSeconds, frames, config);
  return { target, filter, exposureSeconds, frames, notBeforeUnixMs, note };
}

function checkRanges(exposureSeconds: number, frames: number, { queue }: Config): void {
  const longest = queue.longestExposureSeconds;
  if (!(exposureSeconds >= SHORTEST_EXPOSURE_SECONDS && exposureSeconds <= longest)) {
    throw new Refusal(
      "bad-exposure",
      `An exposure of ${seconds(exposureSeconds)} is not possible: give from ${SHORTEST_EXPOSURE_SECONDS} to ${seconds(longest)}.`,
    );
  }
  if (!Number.isInteger(frames) || frames < 1 || frames > queue.mostFrames) {
    throw new Refusal(
      "bad-frames",
      `${frames} frames are not possible: give a whole number from 1 to ${queue.mostFrames}.`,
    );
  }
  const minutes = (exposureSeconds * frames) / 60;
  if (minutes <= queue.longestRequestMinutes) return;
  const fitting = Math.floor((queue.longestRequestMinutes * 60) / exposureSeconds);
  throw new Refusal(
    "too-long-request",
    `${count(frames, "frame")} of ${seconds(exposureSeconds)} make ${Math.round(minutes)} min; one request may expose for ${queue.longestRequestMinutes} min at most. ${fitting >= 1 ? `Ask for ${count(fitting, "frame")} or fewer.` : "Ask for a shorter exposure."}`,
  );
}
