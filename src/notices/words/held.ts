/** What of the machines holds the queue, in words. */
import type { HeldBy } from "../../journal/held-by.js";

/** "the dome is kept shut". */
export function heldClause(by: HeldBy): string {
  switch (by) {
    case "telescope-fault":
      return "the telescope is at fault";
    case "dome-fault":
      return "the dome is at fault";
    case "dome-kept-shut":
      return "the dome is kept shut";
    case "camera-fault":
      return "the camera is at fault";
    case "no-room":
      return "the disk has no room for frames";
  }
}

/** "the dome is kept shut: 5 wait". */
export function heldWords(by: HeldBy, waiting: number): string {
  if (waiting === 0) return `${heldClause(by)}: nothing new is taken`;
  return `${heldClause(by)}: ${waiting} ${waiting === 1 ? "waits" : "wait"}`;
}

/** After "It waits for": "the dome's fault to be mended". */
export function awaited(by: HeldBy): string {
  if (by === "no-room") return "room on the disk";
  return by === "dome-kept-shut" ? "the dome to be released" : `the ${by.split("-")[0]}'s fault to be mended`;
}
