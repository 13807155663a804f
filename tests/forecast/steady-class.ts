/** A class that asks at a steady rate, as a belief: in each ten seconds somebody does, or not, by chance. */
import { HOUR, SECOND } from "../../src/base/units.js";
import type { ArrivalBelief } from "../../src/forecast/learn/beliefs.js";

const SLOT = 10 * SECOND;

export function steadyClass(
  perHour: number,
  hours: number,
  tier = 1,
): Pick<ArrivalBelief, "stories" | "nightSdMs" | "scaleSd"> {
  const aheadMs = Array.from({ length: (hours * HOUR) / SLOT }, (_, slot) => (slot + 1) * SLOT);
  const group = { aheadMs, tiers: aheadMs.map(() => tier), sdMs: 0 };
  return {
    stories: [{ weight: 1, scale: (perHour * SLOT) / HOUR, groups: [group] }],
    nightSdMs: 0,
    scaleSd: 0,
  };
}
