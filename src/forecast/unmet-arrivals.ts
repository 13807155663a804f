/** How much earlier or later requests start because fewer or more came than were expected. */
import type { Millis, UtcMillis } from "../base/units.js";
import type { Request } from "../queue/request.js";
import type { Beliefs } from "./learn/beliefs.js";
import type { NightInput } from "./night-run.js";
import type { SpreadOptions } from "./spread.js";
import { SpreadNight } from "./spread-night.js";

/**
 * The told night played by chance twice with the same seed, with a pause after each run: with requests coming as was
 * believed then, and with those that really came until now. Returns the difference of each request's mean start, by
 * number; a run without a turn counts as a start at the night's end.
 * @param came asked for since, whatever became of them
 */
export function* arrivalEffects(
  told: NightInput,
  believed: Beliefs,
  came: readonly Request[],
  nowUnixMs: UtcMillis,
  options: SpreadOptions,
): Generator<undefined, ReadonlyMap<number, Millis>> {
  const expected = yield* meanStarts(told, believed, options);
  const waiting = [...told.waiting, ...came.map(notBeforeAsked)];
  const arrivals = { ...believed.arrivals, noneBeforeUnixMs: nowUnixMs };
  const real = yield* meanStarts({ ...told, waiting }, { ...believed, arrivals }, options);
  return new Map([...expected].map(([number, unixMs]) => [number, (real.get(number) ?? unixMs) - unixMs]));
}

/** Nobody can be taken before they have asked. */
function notBeforeAsked(request: Request): Request {
  const { askedUnixMs, notBeforeUnixMs } = request;
  return { ...request, notBeforeUnixMs: Math.max(askedUnixMs, notBeforeUnixMs ?? askedUnixMs) };
}

function* meanStarts(
  input: NightInput,
  beliefs: Beliefs,
  { runs, seed }: SpreadOptions,
): Generator<undefined, ReadonlyMap<number, UtcMillis>> {
  const night = new SpreadNight(input, beliefs);
  const { numbers } = night;
  const sums = new Float64Array(numbers.length);
  // Each run writes its starts one place further on.
  const starts = new Float64Array(numbers.length + runs);
  for (let run = 0; run < runs; run++) {
    night.play(seed, run, starts, 1);
    for (let row = 0; row < numbers.length; row++) {
      const start = starts[row + run]!;
      sums[row]! += Number.isNaN(start) ? input.untilUnixMs : start;
    }
    yield;
  }
  return new Map(numbers.map((number, row) => [number, sums[row]! / runs]));
}
