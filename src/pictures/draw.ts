/** All charts behind the one interface that commands use. What draws them is loaded with the first chart: start-up counts. */
import type { Pictures } from "./pictures.js";

/** The chart makers. */
export const pictures: Pictures = {
  queue: async (input) => (await import("./queue-chart.js")).drawQueue(input),
  target: async (input) => (await import("./target-chart.js")).drawTarget(input),
  tonight: async (input) => (await import("./tonight-chart.js")).drawTonight(input),
  compare: async (input) => (await import("./compare-chart.js")).drawCompare(input),
};
