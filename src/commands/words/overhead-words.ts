/** How the machines' times compare with the configuration, from what was measured. */

import { count } from "../../base/english.js";
import type { OverheadBelief, OverheadBeliefs } from "../../forecast/learn/beliefs.js";
import type { OverheadSample } from "../../journal/events.js";

type Part = OverheadSample["component"];

/** Machines run slower or faster … */
const MACHINES: Partial<Record<Part, string>> = {
  slew: "mount",
  dome: "dome",
  filter: "filter wheel",
  shutter: "dome's shutter",
};
/** … and the rest takes longer or shorter. */
const DEEDS: Partial<Record<Part, string>> = {
  settle: "Settling",
  readOut: "Reading out",
  handOver: "Handing over the frames",
  total: "Everything but exposing",
};
const PARTS = [...Object.keys(MACHINES), ...Object.keys(DEEDS)] as readonly Part[];

/** Fewer measurements than this say nothing. */
const FEWEST = 3;
/** A difference smaller than this is none. */
const NOTABLE = 0.05;

/**
 * One sentence for each part that runs otherwise than configured; one for all when none does.
 * @param learned what the forecast believes of each part from these samples
 */
export function overheadSentences(
  samples: readonly OverheadSample[],
  learned: OverheadBeliefs["components"],
): string[] {
  const alone = new Set(samples.map(({ component }) => component));
  const measured = PARTS.flatMap((part) => {
    const belief = beliefOf(part, alone, learned);
    return belief !== undefined && belief.measurements >= FEWEST ? [{ part, belief }] : [];
  });
  if (measured.length === 0)
    return ["Too little has been measured yet to compare its times with the configuration."];
  const off = measured.filter(({ belief }) => Math.abs(Math.exp(belief.logMean) - 1) >= NOTABLE);
  if (off.length === 0) return ["Its times are as configured."];
  return off.map(({ part, belief }) => sentenceOf(part, belief));
}

/** Parts that were never measured alone follow the whole action. */
function beliefOf(
  part: Part,
  alone: ReadonlySet<Part>,
  learned: OverheadBeliefs["components"],
): OverheadBelief | undefined {
  if (part !== "total") return alone.has(part) ? learned[part] : undefined;
  const follows = (Object.keys(learned) as (keyof typeof learned)[]).find((each) => !alone.has(each));
  return alone.has("total") && follows ? learned[follows] : undefined;
}

function sentenceOf(part: Part, { logMean, measurements }: OverheadBelief): string {
  const ratio = Math.exp(logMean);
  const by = `(${count(measurements, "measurement")})`;
  const machine = MACHINES[part];
  if (machine === undefined) return `${DEEDS[part]} takes ${ratio.toFixed(1)} × as long as configured ${by}.`;
  const [factor, way] = ratio > 1 ? [ratio, "slower"] : [1 / ratio, "faster"];
  return `The ${machine} is running ${factor.toFixed(1)} × ${way} than configured ${by}.`;
}
