/** Charts as PNG, each with alt text computed from the same numbers. */
import type { Chart } from "./chart.js";
import type { compareChart } from "./compare-chart.js";
import type { queueChart } from "./queue-chart.js";
import type { targetChart } from "./target-chart.js";
import type { tonightChart } from "./tonight-chart.js";

/** A finished picture. */
export interface Picture extends Omit<Chart, "svg"> {
  readonly png: Uint8Array;
}

export interface Pictures {
  /** Run order as bars in time, altitude at start written beside each. */
  readonly queue: Drawing<typeof queueChart>;
  /** Altitude through the night, window shaded, limits and Moon marked. */
  readonly target: Drawing<typeof targetChart>;
  /** Altitudes of several targets, twilight shaded. */
  readonly tonight: Drawing<typeof tonightChart>;
  readonly compare: Drawing<typeof compareChart>;
}

type Drawing<Make extends (input: never) => Chart> = (...input: Parameters<Make>) => Promise<Picture>;

/** What draws them is loaded with the first chart: start-up counts. */
export const pictures: Pictures = {
  queue: async (input) => drawn((await import("./queue-chart.js")).queueChart(input)),
  target: async (input) => drawn((await import("./target-chart.js")).targetChart(input)),
  tonight: async (input) => drawn((await import("./tonight-chart.js")).tonightChart(input)),
  compare: async (input) => drawn((await import("./compare-chart.js")).compareChart(input)),
};

async function drawn({ svg, ...described }: Chart): Promise<Picture> {
  const { rasterise } = await import("./raster.js");
  return { png: await rasterise(svg), ...described };
}
