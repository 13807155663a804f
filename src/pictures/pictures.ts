/** Charts as PNG, each with alt text computed from the same numbers; drawn by one worker, started when first needed. */
import { fileURLToPath } from "node:url";
import { Piscina } from "piscina";
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

let pool: Piscina<DrawTask, Picture> | null = null;

async function drawn<Name extends ChartName>(task: DrawTask<Name>): Promise<Picture> {
  // Run from the TypeScript sources, which a worker cannot load, it is drawn here.
  if (import.meta.url.endsWith(".ts")) return (await import("./draw-worker.js")).default(task);
  pool ??= new Piscina<DrawTask, Picture>({
    filename: fileURLToPath(new URL("./draw-worker.js", import.meta.url)),
    minThreads: 0,
    maxThreads: 1,
    idleTimeout: IDLE_MS,
    resourceLimits: { maxYoungGenerationSizeMb: 4 },
  });
  return pool.run(task);
}
