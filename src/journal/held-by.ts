/** What of the machines keeps requests from being taken, beside a hold of the staff's. */
import type { Equipment } from "./events.js";
import type { State } from "./state.js";

export type HeldBy = "telescope-fault" | "dome-fault" | "dome-kept-shut" | "camera-fault" | "no-room";

/** The weightiest; null when nothing does. A dome that is merely shut opens, and a camera that is away is a lesson. */
export function heldBy({ equipment, diskShort }: Pick<State, "equipment" | "diskShort">): HeldBy | null {
  const { telescope, dome, camera }: Equipment = equipment;
  if (telescope === "fault") return "telescope-fault";
  if (dome === "fault") return "dome-fault";
  if (dome === "kept-shut") return "dome-kept-shut";
  if (camera === "fault") return "camera-fault";
  return diskShort ? "no-room" : null;
}
