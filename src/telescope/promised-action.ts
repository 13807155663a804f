/** An action that is known only by the times that were promised for it: after a restart, or taken by somebody else. */
import { SECOND } from "../base/units.js";
import type { TakenState } from "../journal/state.js";
import type { Observatory } from "../observatory/observatory.js";
import type { Request } from "../queue/request.js";
import type { Action } from "./link.js";

type Promised = Pick<
  Action,
  "request" | "takenUnixMs" | "exposingUnixMs" | "freeUnixMs" | "framesDone" | "times"
>;

/** Exposures and hand-over take what they take; all that is left before them is the move. */
export function promisedAction(
  request: Request,
  { takenUnixMs, freeUnixMs }: TakenState,
  { camera, handOverSeconds }: Observatory,
): Promised {
  const handOverMs = Math.round(handOverSeconds * SECOND);
  const exposingMs = request.frames * Math.round((request.exposureSeconds + camera.readOutSeconds) * SECOND);
  const exposingUnixMs = Math.max(takenUnixMs, freeUnixMs - handOverMs - exposingMs);
  const readyMs = exposingUnixMs - takenUnixMs;
  const moves = { slewMs: readyMs, domeMs: 0, filterMs: 0, shutterMs: 0, settleMs: 0, readyMs };
  return {
    ...{ request, takenUnixMs, exposingUnixMs, freeUnixMs, framesDone: request.framesDone },
    times: { ...moves, exposingMs, handOverMs, totalMs: freeUnixMs - takenUnixMs },
  };
}
