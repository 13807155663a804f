/** Reminds the operator of a request that has been "taken" for twice as long as it should. */
import type { CallOff } from "../base/clock.js";
import type { TakenState } from "../journal/state.js";
import { type ActionParts, storeRetryMillis } from "./action-under-way.js";

/** Once for each taking, whatever is refused or started anew meanwhile. */
export function remindWhenOverdue(parts: ActionParts, taken: TakenState): CallOff {
  const { desk, clock, log } = parts;
  const { number, takenUnixMs, promisedUnixMs } = taken;
  const isStill = (now: TakenState | null): boolean =>
    now?.number === number && now.takenUnixMs === takenUnixMs && !now.reminded;
  let over = false;
  let callOff: CallOff = () => {};
  const remind = async (): Promise<void> => {
    try {
      await desk.act((state) => (isStill(state.taken) ? [{ type: "action.overdue", number }] : []), {
        by: "telescope",
      });
    } catch (error) {
      log.warn({ request: number, reason: (error as Error).message }, "a reminder was not stored; trying on");
      if (!over) callOff = clock.at(clock.now() + storeRetryMillis(clock), () => void remind());
    }
  };
  callOff = clock.at(takenUnixMs + 2 * (promisedUnixMs - takenUnixMs), () => void remind());
  return () => {
    over = true;
    callOff();
  };
}
