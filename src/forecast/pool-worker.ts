/** The worker's side of the spread: plays a share of the runs, or sums a share of the rows up. */
import { constants, platform, setPriority } from "node:os";
import type { Observatory } from "../observatory/observatory.js";
import type { Plan } from "../queue/planner/plan.js";
import type { Beliefs } from "./learn/beliefs.js";
import type { NightInput } from "./night-run.js";
import { type PackedNight, unpackNight } from "./packed-night.js";
import { planNight } from "./plan-night.js";
import { summaryOf } from "./spread.js";
import { SpreadNight } from "./spread-night.js";

/** On Linux a thread's priority is its own (elsewhere it would be the whole program's): answers come first. */
if (platform() === "linux") setPriority(constants.priority.PRIORITY_BELOW_NORMAL);

/** Playing and summing up read and write the same starts, `runs` for each row. */
export type SpreadTask =
  | { readonly do: "plan"; readonly night: PackedNight }
  | {
      readonly do: "play";
      readonly night: PackedNight;
      readonly beliefs: Beliefs;
      readonly seed: number;
      readonly runs: number;
      readonly from: number;
      readonly to: number;
      readonly starts: SharedArrayBuffer;
    }
  | {
      readonly do: "sum";
      readonly runs: number;
      readonly from: number;
      readonly to: number;
      readonly starts: SharedArrayBuffer;
    };

/** Numbers of the rows after playing, the summary after summing up. */
export type SpreadTaskResult = Float64Array | Plan;

/** Called by the pool. */
export default function work(task: SpreadTask): SpreadTaskResult {
  if (task.do === "plan") return planNight(familiar(unpackNight(task.night)));
  const starts = new Float64Array(task.starts);
  if (task.do === "sum") return summaryOf(starts, task.runs, task.from, task.to);
  const night = new SpreadNight(familiar(unpackNight(task.night)), task.beliefs);
  for (let run = task.from; run < task.to; run++) night.play(task.seed, run, starts, task.runs);
  return Float64Array.from(night.numbers);
}

let known: { readonly text: string; readonly observatory: Observatory } | null = null;

/** With the observatory met before, for which the sky's work has been done. */
function familiar(input: NightInput): NightInput {
  const text = JSON.stringify(input.observatory);
  if (known?.text !== text) known = { text, observatory: input.observatory };
  return { ...input, observatory: known.observatory };
}
