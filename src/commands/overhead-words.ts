/** How the machines' times compare with the configuration, from what was measured. */
import type { OverheadSample } from "../journal/events.js";
import { count } from "../notices/words/amounts.js";
import type { OverheadFactors } from "../observatory/observatory.js";

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

/**
 * One sentence for each part that runs otherwise than configured; one for all when none does.
 * @param learned the multiples that the forecast uses now
 */
export function overheadSentences(samples: readonly OverheadSample[], learned: OverheadFactors): string[] {
  const counts = new Map<OverheadSample["component"], number>();
  for (const { component } of samples) counts.set(component, (counts.get(component) ?? 0) + 1);
  const parts = Object.keys(PARTS) as OverheadSample["component"][];
  const measured = parts.flatMap((component) => {
    const times = counts.get(component) ?? 0;
    const ratio = component === "total" ? unmeasured(counts, learned) : learned[component];
    return times < FEWEST || ratio === undefined ? [] : [{ component, ratio, times }];
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

/** Parts that were never measured alone follow the whole action. */
function unmeasured(
  counts: ReadonlyMap<OverheadSample["component"], number>,
  learned: OverheadFactors,
): number | undefined {
  const parts = Object.keys(learned) as (keyof OverheadFactors)[];
  const part = parts.find((component) => !counts.has(component));
  return part && learned[part];
}
