/** A start that may come in either of two stretches of the night: this evening, or else before dawn. */
import { HOUR, type Millis, type UtcMillis } from "../base/units.js";
import { LEVELS, startAt } from "./learn/calibration.js";

export interface TwoStarts {
  /** The middle of those that come in the first stretch … */
  readonly firstUnixMs: UtcMillis;
  /** … and in the other. */
  readonly otherUnixMs: UtcMillis;
}

/** Stretches closer together are told as one range. */
const LEAST_APART: Millis = 2 * HOUR;

/**
 * The two stretches, where the gap between them is wider than either and each holds at least a tenth of the starts;
 * null where all is one range.
 * @param quantiles of the start, at `LEVELS`
 */
export function twoStarts(quantiles: ArrayLike<UtcMillis>): TwoStarts | null {
  const [low, high] = [LEVELS.indexOf(0.1), LEVELS.indexOf(0.9)];
  const gapAfter = (index: number): Millis => quantiles[index + 1]! - quantiles[index]!;
  let at = low;
  for (let index = low; index < high; index++) if (gapAfter(index) > gapAfter(at)) at = index;
  // A quantile may lie between the stretches, where no start does.
  let until = at + 1;
  if (until < high && gapAfter(until) >= LEAST_APART / 2) until++;
  else if (at > low && gapAfter(at - 1) >= LEAST_APART / 2) at--;
  const longest = Math.max(quantiles[at]! - quantiles[low]!, quantiles[high]! - quantiles[until]!);
  if (quantiles[until]! - quantiles[at]! < Math.max(LEAST_APART, longest)) return null;
  const share = (LEVELS[at]! + LEVELS[until]!) / 2;
  return { firstUnixMs: startAt(quantiles, share / 2), otherUnixMs: startAt(quantiles, (1 + share) / 2) };
}
