/** How a class may hear of whoever decided something. */
import { TELESCOPE } from "../journal/events.js";
import { memberOf } from "../journal/membership.js";
import type { PersonId } from "../queue/request.js";
import type { Occasion } from "./telling.js";
import type { WhoDecided } from "./words/everyone.js";

/** By name within the class; people of other classes are only "staff". null is the schedule. */
export function whoDecided(occasion: Occasion, by: PersonId | null, classId: string): WhoDecided {
  if (by === null) return "schedule";
  if (by === TELESCOPE) return "telescope";
  return memberOf(occasion.after, by, classId) ? { member: by } : "staff";
}
