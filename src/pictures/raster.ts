/** SVG to PNG or pixels, with the fonts that come with the package so that text is drawn on every machine. */
import { fileURLToPath } from "node:url";
import { isMainThread } from "node:worker_threads";
import { Piscina } from "piscina";
import drawHere, { FONT, type RasterResult, type RasterTask } from "./raster-worker.js";

export { FONT };

/** How long an idle worker is kept, milliseconds. */
const IDLE_MS = 60_000;

let pool: Piscina<RasterTask, RasterResult> | null = null;

/** Draws SVG text as PNG bytes at its own size, off the main thread. */
export async function rasterise(svg: string): Promise<Uint8Array> {
  return (await draw({ svg, as: "png" })).bytes;
}

/** Red, green, blue and opacity of each pixel, first row on top. */
export interface Raster {
  readonly width: number;
  readonly height: number;
  readonly rgba: Uint8Array;
}

/** The same, as plain pixels. */
export async function rasterisePixels(svg: string): Promise<Raster> {
  const { width, height, bytes } = await draw({ svg, as: "pixels" });
  return { width, height, rgba: bytes };
}

/** One worker, started when first needed; alone it keeps no program from ending. */
async function draw(task: RasterTask): Promise<RasterResult> {
  // In a worker it keeps nobody waiting; run from the TypeScript sources, which a worker cannot load, it is done here.
  if (!isMainThread || import.meta.url.endsWith(".ts")) return drawHere(task);
  pool ??= new Piscina({
    filename: fileURLToPath(new URL("./raster-worker.js", import.meta.url)),
    minThreads: 0,
    maxThreads: 1,
    idleTimeout: IDLE_MS,
    resourceLimits: { maxYoungGenerationSizeMb: 4 },
  });
  return pool.run(task);
}
