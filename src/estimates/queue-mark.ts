/** Tells whether anything has happened that could change the forecast: most entries are about telling people. */
import { heldBy } from "../journal/held-by.js";
import type { State } from "../journal/state.js";

/** The same for two instants between which nothing that moves the queue has happened. */
export interface QueueMark {
  readonly text: string;
  readonly samples: State["overheadSamples"];
}

/** Who waits, who is being observed, the hold, the rule, the machines. */
export function queueMark(state: State): QueueMark {
  const { waiting, nextNumber, tally, taken, hold, rule, night, earliestChanged, overheadSamples } = state;
  const text = [
    waiting.size,
    nextNumber,
    tally.attempts,
    tally.failures,
    taken?.number,
    taken?.freeUnixMs,
    hold?.sinceUnixMs,
    hold?.untilUnixMs,
    rule,
    night,
    earliestChanged,
    heldBy(state),
    state.plan?.keptUnixMs,
  ].join("|");
  return { text, samples: overheadSamples };
}

/** Whether two marks are of the same queue. */
export function sameMark(a: QueueMark, b: QueueMark): boolean {
  return a.text === b.text && a.samples === b.samples;
}
