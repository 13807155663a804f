/** Charts as PNG, each with alt text computed from the same numbers; drawn by one worker, started when first needed. */
import { openWorkers } from "../base/workers.js";
import type { ChartInput, ChartName, DrawTask, Picture } from "./draw-worker.js";

export type { Picture };

export interface Pictures {
  /** Run order as bars in time, altitude at start written beside each. */
  readonly queue: Drawing<"queue">;
  /** Altitude through the night, window shaded, limits and Moon marked. */
  readonly target: Drawing<"target">;
  /** Altitudes of several targets, twilight shaded. */
  readonly tonight: Drawing<"tonight">;
  readonly compare: Drawing<"compare">;
}

type Drawing<Name extends ChartName> = (input: ChartInput<Name>) => Promise<Picture>;

export const pictures: Pictures = {
  queue: (input) => drawn({ chart: "queue", input }),
  target: (input) => drawn({ chart: "target", input }),
  tonight: (input) => drawn({ chart: "tonight", input }),
  compare: (input) => drawn({ chart: "compare", input }),
};

/** How long an idle worker is kept, milliseconds: it holds tens of megabytes. */
const IDLE_MS = 15_000;

const drawing = openWorkers<DrawTask, Picture>({
  url: new URL("./draw-worker.js", import.meta.url),
  here: () => import("./draw-worker.js"),
  threads: 1,
  idleMs: IDLE_MS,
  limits: { maxYoungGenerationSizeMb: 4 },
});

const drawn = <Name extends ChartName>(task: DrawTask<Name>): Promise<Picture> => drawing.run(task);
