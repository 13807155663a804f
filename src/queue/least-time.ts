/** What a request costs the telescope even when nothing has to move. */
import { type Millis, SECOND } from "../base/units.js";
import type { Observatory } from "../observatory/observatory.js";
import type { Wish } from "./request.js";

/** Exposing, reading out and handing over. */
export function leastTime(
  { exposureSeconds, frames }: Pick<Wish, "exposureSeconds" | "frames">,
  { camera, handOverSeconds }: Observatory,
): Millis {
  return (frames * (exposureSeconds + camera.readOutSeconds) + handOverSeconds) * SECOND;
}
