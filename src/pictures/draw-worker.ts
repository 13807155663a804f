/** The worker that draws charts: laying one out and encoding it would hold up everyone's answers on the main thread. */
import { tidyAfter } from "../base/worker.js";
import type { Chart } from "./chart.js";
import { compareChart } from "./compare-chart.js";
import { queueChart } from "./queue-chart.js";
import { rasterise } from "./raster.js";
import { targetChart } from "./target-chart.js";
import { tonightChart } from "./tonight-chart.js";

export const charts = {
  queue: queueChart,
  target: targetChart,
  tonight: tonightChart,
  compare: compareChart,
};

export type ChartName = keyof typeof charts;

/** What a chart of a name is drawn from: plain data. */
export type ChartInput<Name extends ChartName> = Parameters<(typeof charts)[Name]>[0];

/** A chart that is wanted. */
export interface DrawTask<Name extends ChartName = ChartName> {
  readonly chart: Name;
  readonly input: ChartInput<Name>;
}

/** A finished picture. */
export interface Picture extends Omit<Chart, "svg"> {
  readonly png: Uint8Array;
}

/** Called by the pool. */
export default tidyAfter(draw);

function draw<Name extends ChartName>({ chart, input }: DrawTask<Name>): Picture {
  const make = charts[chart] as (input: ChartInput<Name>) => Chart;
  const { svg, ...described } = make(input);
  return { png: rasterise(svg), ...described };
}
