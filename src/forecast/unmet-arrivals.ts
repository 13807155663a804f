/** How much earlier or later requests start because fewer or more came than were expected. */
import type { Millis, UtcMillis } from "../base/units.js";
import type { Request } from "../queue/request.js";
import type { Beliefs } from "./beliefs.js";
import type { NightInput } from "./night-run.js";
import { type SpreadOptions, spreadOf } from "./spread.js";

/**
 * The told night played by chance twice with the same seed: with requests coming as was believed then, and with
 * those that really came until now. The difference of each request's mean start, by number; a run without a turn
 * counts as a start at the night's end.
 * @param came asked for since, whatever became of them
 */
export function arrivalEffects(
  told: NightInput,
  believed: Beliefs,
  came: readonly Request[],
  nowUnixMs: UtcMillis,
  options: SpreadOptions,
): ReadonlyMap<number, Millis> {
  const expected = meanStarts(told, believed, options);
  const waiting = [...told.waiting, ...came.map(notBeforeAsked)];
  const arrivals = { ...believed.arrivals, noneBeforeUnixMs: nowUnixMs };
  const real = meanStarts({ ...told, waiting }, { ...believed, arrivals }, options);
  return new Map([...expected].map(([number, unixMs]) => [number, (real.get(number) ?? unixMs) - unixMs]));
}

/** Nobody can be taken before they have asked. */
function notBeforeAsked(request: Request): Request {
  const { askedUnixMs, notBeforeUnixMs } = request;
  return { ...request, notBeforeUnixMs: Math.max(askedUnixMs, notBeforeUnixMs ?? askedUnixMs) };
}

function meanStarts(
  night: NightInput,
  beliefs: Beliefs,
  options: SpreadOptions,
): ReadonlyMap<number, UtcMillis> {
  const { starts, numbers, runs } = spreadOf(night, beliefs, options);
  return new Map(
    numbers.map((number, row) => {
      let sum = 0;
      for (let run = 0; run < runs; run++) {
        const start = starts[row * runs + run] as number;
        sum += Number.isNaN(start) ? night.untilUnixMs : start;
      }
      return [number, sum / runs];
    }),
  );
}
