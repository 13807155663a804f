/** All charts behind the one interface that commands use. */
import { drawCompare } from "./compare-chart.js";
import type { Pictures } from "./pictures.js";
import { drawQueue } from "./queue-chart.js";
import { drawTarget } from "./target-chart.js";
import { drawTonight } from "./tonight-chart.js";

/** The chart makers. */
export const pictures: Pictures = {
  queue: drawQueue,
  target: drawTarget,
  tonight: drawTonight,
  compare: drawCompare,
};
