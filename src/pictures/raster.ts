/** SVG to PNG, with the fonts that come with the package so that text is drawn on every machine. */
import { createRequire } from "node:module";
import { dirname, join } from "node:path";
import { renderAsync } from "@resvg/resvg-js";

const fontFolder = join(
  dirname(createRequire(import.meta.url).resolve("dejavu-fonts-ttf/package.json")),
  "ttf",
);

/** Family name of the fonts below, for use in SVG. */
export const FONT = "DejaVu Sans";

/** Draws SVG text as PNG bytes at its own size, off the main thread. */
export async function rasterise(svg: string): Promise<Uint8Array> {
  const image = await renderAsync(svg, {
    font: {
      loadSystemFonts: false,
      fontFiles: [join(fontFolder, "DejaVuSans.ttf"), join(fontFolder, "DejaVuSans-Bold.ttf")],
      defaultFontFamily: FONT,
    },
  });
  return image.asPng();
}
