/** How the machines' times compare with the configuration, from what was measured. */
import type { OverheadSample } from "../journal/events.js";
import { count } from "../notices/words/amounts.js";

const PARTS: Record<OverheadSample["component"], string> = {
  slew: "mount's slew",
  dome: "dome",
  filter: "filter wheel",
  shutter: "dome's shutter",
  settle: "settling",
  readOut: "camera's read-out",
  handOver: "hand-over",
  total: "whole action",
};

/** Fewer measurements than this say nothing. */
const FEWEST = 3;
/** A difference smaller than this is none. */
const NOTABLE = 0.05;

/** One sentence for each part that runs otherwise than configured; one for all when none does. */
export function overheadSentences(samples: readonly OverheadSample[]): string[] {
  const parts = Object.keys(PARTS) as OverheadSample["component"][];
  const measured = parts.flatMap((component) => {
    const ratios = samples
      .filter((each) => each.component === component && each.configuredMs > 0)
      .map((each) => each.measuredMs / each.configuredMs);
    return ratios.length < FEWEST ? [] : [{ component, ratio: median(ratios), times: ratios.length }];
  });
  if (measured.length === 0)
    return ["Too little has been measured yet to compare its times with the configuration."];
  const off = measured.filter(({ ratio }) => Math.abs(ratio - 1) >= NOTABLE);
  if (off.length === 0) return ["Its times are as configured."];
  return off.map(({ component, ratio, times }) => {
    const way = ratio > 1 ? "slower" : "faster";
    const factor = ratio > 1 ? ratio : 1 / ratio;
    return `The ${PARTS[component]} is running ${factor.toFixed(1)} × ${way} than configured, by ${count(times, "measurement")}.`;
  });
}

function median(values: readonly number[]): number {
  const sorted = [...values].sort((a, b) => a - b);
  const middle = Math.floor(sorted.length / 2);
  return sorted.length % 2 === 1 ? sorted[middle]! : (sorted[middle - 1]! + sorted[middle]!) / 2;
}
