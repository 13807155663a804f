/** From what was asked to a wish that the camera can take: defaults and ranges. */

import { count } from "../../base/english.js";
import { Refusal } from "../../base/refusal.js";
import type { Seconds, UtcMillis } from "../../base/units.js";
import type { Config } from "../../config/config.js";
import { seconds } from "../../notices/words/amounts.js";
import type { Wish } from "../../queue/request.js";
import type { Target } from "../../sky/target.js";

/** What may be left out of a wish. */
export interface AskedWish {
  readonly target: Target;
  readonly filter: string | undefined;
  readonly exposure: number | undefined;
  readonly frames: number | undefined;
  readonly notBeforeUnixMs: UtcMillis | null;
  readonly note: string | null;
}

/** What suits a target where the person chose nothing: seconds, and a filter that does not overexpose it. */
export interface Usual {
  readonly filter: string;
  readonly exposureSeconds: Seconds;
}

/**
 * Fills in what was left out and checks the ranges.
 * @param usual what suits the target, through the filter asked for where one was
 * @throws {Refusal} codes "bad-exposure", "bad-frames", "too-long-request"
 */
export function makeWish(
  asked: AskedWish,
  config: Config,
  usual: (target: Target, filter: string | undefined) => Usual,
): Wish {
  const { target, notBeforeUnixMs, note } = asked;
  const suits = usual(target, asked.filter);
  const filter = asked.filter ?? suits.filter;
  const frames = asked.frames ?? 1;
  const exposureSeconds = asked.exposure ?? suits.exposureSeconds;
  checkRanges(exposureSeconds, frames, config);
  return { target, filter, exposureSeconds, frames, notBeforeUnixMs, note };
}

function checkRanges(exposureSeconds: number, frames: number, { queue, observatory }: Config): void {
  const { shortestExposureSeconds: shortest, longestExposureSeconds } = observatory.camera;
  const longest = Math.min(queue.longestExposureSeconds, longestExposureSeconds);
  if (!(exposureSeconds >= shortest && exposureSeconds <= longest)) {
    throw new Refusal(
      "bad-exposure",
      `An exposure of ${exposureSeconds} s is not possible: give from ${shortest} to ${seconds(longest)}.`,
    );
  }
  if (!Number.isInteger(frames) || frames < 1 || frames > queue.mostFrames) {
    throw new Refusal("bad-frames", `Frames must be a whole number from 1 to ${queue.mostFrames}.`);
  }
  const minutes = (exposureSeconds * frames) / 60;
  if (minutes <= queue.longestRequestMinutes) return;
  const fitting = Math.floor((queue.longestRequestMinutes * 60) / exposureSeconds);
  throw new Refusal(
    "too-long-request",
    `${count(frames, "frame")} of ${seconds(exposureSeconds)} make ${Math.round(minutes)} min; one request may expose for ${queue.longestRequestMinutes} min at most. ${fitting >= 1 ? `Ask for ${count(fitting, "frame")} or fewer.` : "Ask for a shorter exposure."}`,
  );
}
