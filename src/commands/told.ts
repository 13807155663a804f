/** Remembers which estimate a person was told, so that they hear of it when it moves. */
import { MINUTE } from "../base/units.js";
import type { Estimate } from "../estimates/forecast-service.js";
import type { Services } from "./services.js";

/**
 * Journals what was told unless it is the same to the minute. The answer does not wait for it: the disk is asked
 * after the answer's own entry, and a full one must not keep the answer back.
 */
export function rememberTold(estimates: readonly Estimate[], { desk, log }: Services): void {
  const fresh = estimates
    .filter(({ place }) => place !== 0)
    .map(({ number, startUnixMs }) => ({ number, startUnixMs }));
  desk
    .act(
      (state) => {
        const told = fresh.filter(
          ({ number, startUnixMs }) =>
            state.waiting.has(number) && !sameMinute(state.told.get(number), startUnixMs),
        );
        return told.length === 0 ? [] : [{ type: "estimates.told", estimates: told }];
      },
      { by: "schedule" },
    )
    .catch((error: unknown) => log?.warn({ err: error }, "an estimate that was told could not be stored"));
}

function sameMinute(told: number | null | undefined, start: number | null): boolean {
  if (told === undefined || told === null || start === null) return told === start;
  return Math.abs(told - start) < MINUTE;
}
