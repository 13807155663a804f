/** How long things really take on the practice telescope: the configured times, with seeded scatter if wished. */
import { seededRandom } from "../../base/random.js";
import type { ActionTimes, OverheadFactors } from "../../observatory/observatory.js";

/** What the machines really are like; the forecast is not told. */
export interface PracticeTruth {
  /** Multiples of the configured times. */
  readonly overheads: Omit<OverheadFactors, "readOut">;
  /** Standard deviation of the natural logarithm of each component; 0 for none. */
  readonly overheadScatter: number;
}

/**
 * The times of one action as they happen.
 * @param planned times as the forecast has them, learned factors included
 * @param learned the factors inside `planned`; taken out again, for the machines do not know them
 * @param seed same seed, same night
 */
export function actualTimes(
  planned: ActionTimes,
  learned: OverheadFactors,
  { overheads, overheadScatter }: PracticeTruth,
  seed: number,
): ActionTimes {
  const random = seededRandom(seed);
  const chance = (): number => (overheadScatter === 0 ? 1 : Math.exp(overheadScatter * random.normal()));
  const real = (plannedMs: number, part: keyof typeof overheads): number =>
    Math.round((plannedMs / learned[part]) * overheads[part] * chance());
  const slewMs = real(planned.slewMs, "slew");
  const domeMs = real(planned.domeMs, "dome");
  const filterMs = real(planned.filterMs, "filter");
  const shutterMs = real(planned.shutterMs, "shutter");
  const settleMs = real(planned.settleMs, "settle");
  const handOverMs = real(planned.handOverMs, "handOver");
  const readyMs = Math.max(slewMs, domeMs, filterMs, shutterMs) + settleMs;
  return {
    slewMs,
    domeMs,
    filterMs,
    shutterMs,
    settleMs,
    readyMs,
    exposingMs: planned.exposingMs,
    handOverMs,
    totalMs: readyMs + planned.exposingMs + handOverMs,
  };
}
