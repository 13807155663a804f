/** The preview of a frame: stretched, shrunk, labelled; grey throughout. */

import { escapeXml } from "../../pictures/escape-xml.js";
import { FONT, rasterisePixels } from "../../pictures/raster.js";
import type { PixelImage } from "./pixel-statistics.js";
import { encodeGreyPng } from "./png.js";
import { shrink, stretch, stretchLimits } from "./stretch.js";

export interface PreviewLabels {
  /** What the frame shows: "M13". */
  readonly title: string;
  /** Filter, exposure, time, size. */
  readonly lines: readonly string[];
  /** Written large across the picture, such as SIMULATED; null for a real frame. */
  readonly across: string | null;
  /** Said in the middle of a frame that shows nothing of use; null otherwise. */
  readonly verdict: string | null;
}

export interface PreviewSettings {
  /** Middle part of the frame that is shown, 0 to 1. */
  readonly share: number;
  readonly arcsecondsPerPixel: number;
  /** A planet or the Moon: shades in proportion to the light. */
  readonly disc: boolean;
  /** Top of the camera's scale, ADU. */
  readonly fullAdu: number;
  /** Show the frame as the camera's whole scale would: nothing stands out of it. */
  readonly black: boolean;
}

export const PREVIEW_WIDTH = 800;
const CAPTION_HEIGHT = 74;
/** Lengths that a scale bar may have, arc seconds. */
const BARS = [5, 10, 20, 30, 60, 120, 300, 600, 1200, 3600] as const;

/** A preview's PNG bytes. */
export function previewPng(image: PixelImage, settings: PreviewSettings, labels: PreviewLabels): Buffer {
  const { width, height, rgba } = rasterisePixels(previewSvg(image, settings, labels));
  const grey = new Uint8Array(width * height);
  for (let i = 0; i < grey.length; i++) grey[i] = rgba[4 * i] as number;
  return encodeGreyPng(width, height, grey);
}

/** The same before it is rasterised. */
export function previewSvg(image: PixelImage, settings: PreviewSettings, labels: PreviewLabels): string {
  const view = shrink(image, settings.share, PREVIEW_WIDTH);
  const grey = settings.black
    ? new Uint8Array(view.values.length)
    : stretch(view, stretchLimits(view, settings.disc, settings.fullAdu));
  const png = encodeGreyPng(view.width, view.height, grey, 1).toString("base64");
  const height = view.height + CAPTION_HEIGHT;
  const scale = (settings.arcsecondsPerPixel * image.width * settings.share) / PREVIEW_WIDTH;
  return [
    `<svg xmlns="http://www.w3.org/2000/svg" width="${PREVIEW_WIDTH}" height="${height}" font-family="${FONT}">`,
    `<rect width="${PREVIEW_WIDTH}" height="${height}" fill="#000"/>`,
    `<image width="${view.width}" height="${view.height}" href="data:image/png;base64,${png}"/>`,
    ...acrossText(labels.across, view.height),
    ...verdictText(labels.verdict, view.height),
    ...scaleBar(scale, view.height),
    ...caption(labels, view.height),
    "</svg>",
  ].join("\n");
}

function acrossText(across: string | null, height: number): string[] {
  if (across === null) return [];
  const x = PREVIEW_WIDTH / 2;
  const y = height * 0.84;
  return [
    `<text x="${x}" y="${y}" font-size="92" font-weight="bold" letter-spacing="8" text-anchor="middle" ` +
      `fill="#fff" fill-opacity="0.16" stroke="#fff" stroke-opacity="0.6" stroke-width="1.5">${escapeXml(across)}</text>`,
  ];
}

function verdictText(verdict: string | null, height: number): string[] {
  if (verdict === null) return [];
  return [
    `<text x="${PREVIEW_WIDTH / 2}" y="${height * 0.46}" font-size="30" text-anchor="middle" fill="#ddd" stroke="#000" stroke-width="5" paint-order="stroke">${escapeXml(verdict)}</text>`,
  ];
}

/** About a sixth of the width, in a round number. */
function scaleBar(arcsecondsPerPixel: number, height: number): string[] {
  const wanted = (PREVIEW_WIDTH / 6) * arcsecondsPerPixel;
  const length = BARS.reduce((best, bar) => (Math.abs(bar - wanted) < Math.abs(best - wanted) ? bar : best));
  const pixels = length / arcsecondsPerPixel;
  const y = height - 18;
  const label = length < 60 ? `${length}″` : `${length / 60}′`;
  return [
    `<path d="M24 ${y - 6}V${y + 6}M24 ${y}H${(24 + pixels).toFixed(1)}m0 -6v12" stroke="#fff" stroke-width="2" fill="none"/>`,
    `<text x="24" y="${y - 12}" font-size="18" fill="#fff" stroke="#000" stroke-width="3" paint-order="stroke">${label}</text>`,
    `<text x="${PREVIEW_WIDTH - 20}" y="${y + 4}" font-size="16" fill="#fff" stroke="#000" stroke-width="3" paint-order="stroke" text-anchor="end">north up, east left</text>`,
  ];
}

function caption(labels: PreviewLabels, top: number): string[] {
  const lines = labels.lines.map(
    (line, index) =>
      `<text x="20" y="${top + 52 + index * 20}" font-size="16" fill="#bbb">${escapeXml(line)}</text>`,
  );
  const title = escapeXml(labels.across === null ? labels.title : `${labels.title} · ${labels.across}`);
  return [
    `<path d="M0 ${top}H${PREVIEW_WIDTH}" stroke="#666"/>`,
    `<text x="20" y="${top + 30}" font-size="21" font-weight="bold" fill="#fff">${title}</text>`,
    ...lines,
  ];
}
