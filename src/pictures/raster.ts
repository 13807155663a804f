/** SVG to PNG or pixels, with the fonts that come with the package so that text is drawn on every machine. */
import { createRequire } from "node:module";
import { dirname, join } from "node:path";
import { type RenderedImage, Resvg, type ResvgRenderOptions } from "@resvg/resvg-js";

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

/** PNG bytes of SVG text at its own size. It takes tens of milliseconds: called in workers, where nobody waits. */
export function rasterise(svg: string): Uint8Array {
  return new Uint8Array(render(svg).asPng());
}

/** Red, green, blue and opacity of each pixel, first row on top. */
export interface Raster {
  readonly width: number;
  readonly height: number;
  readonly rgba: Uint8Array;
}

/** The same, as plain pixels. */
export function rasterisePixels(svg: string): Raster {
  const { width, height, pixels } = render(svg);
  return { width, height, rgba: new Uint8Array(pixels) };
}

function render(svg: string): RenderedImage {
  return new Resvg(svg, OPTIONS).render();
}
