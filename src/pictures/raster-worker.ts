/** Draws pictures in a worker: encoding one would hold up everyone's answers on the main thread. */
import { createRequire } from "node:module";
import { dirname, join } from "node:path";
import { setFlagsFromString } from "node:v8";
import { runInNewContext } from "node:vm";
import { isMainThread } from "node:worker_threads";
import { type ResvgRenderOptions, renderAsync } from "@resvg/resvg-js";

/** An SVG, and what is wanted of it. */
export interface RasterTask {
  readonly svg: string;
  readonly as: "png" | "pixels";
}

export interface RasterResult {
  readonly width: number;
  readonly height: number;
  /** The PNG's bytes, or red, green, blue and opacity of each pixel. */
  readonly bytes: Uint8Array;
}

/** Family name of the fonts below, for use in SVG. */
export const FONT = "DejaVu Sans";

const fontFolder = join(
  dirname(createRequire(import.meta.url).resolve("dejavu-fonts-ttf/package.json")),
  "ttf",
);

const OPTIONS: ResvgRenderOptions = {
  font: {
    loadSystemFonts: false,
    fontFiles: [join(fontFolder, "DejaVuSans.ttf"), join(fontFolder, "DejaVuSans-Bold.ttf")],
    defaultFontFamily: FONT,
  },
};

/**
 * Frees what the last picture took. An image of the library holds megabytes that JavaScript's own count of memory does
 * not see, so that left alone a hundred of them pile up before anything is collected.
 */
const collect = isMainThread ? null : collector();

/** Called by the pool. */
export default async function work({ svg, as }: RasterTask): Promise<RasterResult> {
  const image = await renderAsync(svg, OPTIONS);
  const bytes = new Uint8Array(as === "png" ? image.asPng() : image.pixels);
  // Once the answer has gone, nothing holds the image any more.
  if (collect) setImmediate(collect);
  return { width: image.width, height: image.height, bytes };
}

function collector(): () => void {
  setFlagsFromString("--expose-gc");
  return runInNewContext("gc") as () => void;
}
