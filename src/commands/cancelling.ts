/** What is under way is stopped at once, by staff. */
import type { NightslateEvent } from "../journal/events.js";
import type { State } from "../journal/state.js";
import type { PersonId } from "../queue/request.js";

/** Cancels it, whether it waits or is under way, where the telescope is stopped too; can be undone like any cancellation. */
export function cancelEvent(
  state: State,
  numbers: readonly number[],
  reason: string,
  by: PersonId,
): NightslateEvent {
  return { type: "requests.cancelled", cancelId: `c${state.lastEntryId + 1}`, numbers, reason, by };
}
