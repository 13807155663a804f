/** Whether a request that is over brought anything. */
import type { FrameRecord } from "./events.js";

/** Whether one of the frames is usable, or may be: a frame that nobody judged is given the benefit of the doubt. */
export function hasUsableFrame(frames: readonly FrameRecord[]): boolean {
  return frames.some(({ verdict }) => verdict === null || verdict.is === "usable");
}
