/** SVG to PNG, with the fonts that come with the package so that text is drawn on every machine. */
import { createRequire } from "node:module";
import { dirname, join } from "node:path";
import { type ResvgRenderOptions, renderAsync } from "@resvg/resvg-js";

const fontFolder = join(
  dirname(createRequire(import.meta.url).resolve("dejavu-fonts-ttf/package.json")),
  "ttf",
);

/** Family name of the fonts below, for use in SVG. */
export const FONT = "DejaVu Sans";

const OPTIONS: ResvgRenderOptions = {
  font: {
    loadSystemFonts: false,
    fontFiles: [join(fontFolder, "DejaVuSans.ttf"), join(fontFolder, "DejaVuSans-Bold.ttf")],
    defaultFontFamily: FONT,
  },
};

/** Draws SVG text as PNG bytes at its own size, off the main thread. */
export async function rasterise(svg: string): Promise<Uint8Array> {
  return (await renderAsync(svg, OPTIONS)).asPng();
}

/** Red, green, blue and opacity of each pixel, first row on top. */
export interface Raster {
  readonly width: number;
  readonly height: number;
  readonly rgba: Uint8Array;
}

/** The same, as plain pixels. */
export async function rasterisePixels(svg: string): Promise<Raster> {
  const image = await renderAsync(svg, OPTIONS);
  return { width: image.width, height: image.height, rgba: image.pixels };
}
