/** What an action's measured times say beside its configured ones. */
import type { OverheadSample } from "../journal/events.js";
import type { ActionTimes, OverheadFactors } from "../observatory/observatory.js";

/** What a finished action teaches about each component that moved. */
export function overheadSamples(
  planned: ActionTimes,
  learned: OverheadFactors,
  actual: ActionTimes,
): OverheadSample[] {
  const sample = (
    component: OverheadSample["component"],
    plannedMs: number,
    factor: number,
    measuredMs: number,
  ): OverheadSample => ({ component, configuredMs: Math.round(plannedMs / factor), measuredMs });
  return [
    sample("slew", planned.slewMs, learned.slew, actual.slewMs),
    sample("dome", planned.domeMs, learned.dome, actual.domeMs),
    sample("filter", planned.filterMs, learned.filter, actual.filterMs),
    sample("shutter", planned.shutterMs, learned.shutter, actual.shutterMs),
    sample("settle", planned.settleMs, learned.settle, actual.settleMs),
    sample("handOver", planned.handOverMs, learned.handOver, actual.handOverMs),
  ].filter((each) => each.configuredMs > 0);
}
