/** Stars, widths and places as photutils and astropy measure them, on frames made by tests/reference/make_frame_reference.py. */
import { readFileSync } from "node:fs";
import { fileURLToPath } from "node:url";
import { describe, expect, test } from "vitest";
import { detectStars } from "../../../src/telescope/frames/detect-stars.js";
import { type FitsImage, readFits } from "../../../src/telescope/frames/fits.js";
import type { Card } from "../../../src/telescope/frames/fits-cards.js";
import { pixelStatistics } from "../../../src/telescope/frames/pixel-statistics.js";
import { type StarShapes, starShapes } from "../../../src/telescope/frames/star-shapes.js";
import { worldCoordinates } from "../../../src/telescope/frames/world-coordinates.js";

interface Made {
  /** x, y (first pixel 0), electrons. */
  readonly stars: readonly (readonly [number, number, number])[];
  readonly photutilsCount: number;
  readonly fwhmPixels: number;
  readonly elongation: number;
  readonly scale?: number;
}

const folder = new URL("../../reference/", import.meta.url);
const reference = JSON.parse(readFileSync(new URL("frames.json", folder), "utf8")) as {
  readonly gainElectronsPerAdu: number;
  readonly frames: Readonly<Record<string, Made>>;
  readonly worldCoordinates: readonly {
    readonly name: string;
    readonly cards: Readonly<Record<string, string | number>>;
    readonly places: readonly { readonly pixel: [number, number]; readonly sky: [number, number] }[];
  }[];
};
const FULL = 65_000;

const frame = (name: string): Promise<FitsImage> =>
  readFits({ path: fileURLToPath(new URL(`frames/${name}.fits.gz`, folder)) });

async function shapes(name: string): Promise<StarShapes> {
  const image = await frame(name);
  return starShapes(image, pixelStatistics(image, FULL).noiseAdu, FULL) as StarShapes;
}

const SHARP = ["uint8", "int16", "uint16", "int32", "int64", "float32", "float64", "sharp", "soft"];

describe.each(SHARP)("a frame of stars, %s", (name) => {
  const made = reference.frames[name] as Made;

  test("has as many as photutils counts, within 5 %, each within 0.3 pixels of where it was put", async () => {
    const image = await frame(name);
    const gainElectronsPerAdu = reference.gainElectronsPerAdu * (made.scale ?? 1);
    const found = detectStars(image, { ...pixelStatistics(image, FULL), gainElectronsPerAdu });
    expect(Math.abs(found.length - made.photutilsCount)).toBeLessThanOrEqual(0.05 * made.photutilsCount);
    const misses = found.map(({ x, y }) => Math.min(...made.stars.map(([a, b]) => Math.hypot(x - a, y - b))));
    expect(Math.max(...misses)).toBeLessThan(0.3);
  });

  test("is as sharp as astropy's fits say, within 10 %, and its stars are round", async () => {
    const { fwhmPixels, elongation } = await shapes(name);
    expect(Math.abs(fwhmPixels / made.fwhmPixels - 1)).toBeLessThan(0.1);
    expect(elongation).toBeLessThan(1.2);
  });
});

test("trailed stars are long, all in one direction", async () => {
  const slight = await shapes("slightTrail");
  expect(Math.abs(slight.elongation / (reference.frames.slightTrail as Made).elongation - 1)).toBeLessThan(
    0.1,
  );
  expect(slight.alignment).toBeGreaterThan(0.9);
  const long = await shapes("trail");
  expect(long.elongation).toBeGreaterThan(2.5);
  expect(long.alignment).toBeGreaterThan(0.9);
});

test("stars out of focus are as wide as their rings, and round", async () => {
  const { fwhmPixels, elongation, count } = await shapes("defocused");
  // A ring from 3.5 to 9 pixels: moments of (9² + 3.5²) / 4 along each axis.
  expect(fwhmPixels).toBeGreaterThan(10);
  expect(fwhmPixels).toBeLessThan(13);
  expect(elongation).toBeLessThan(1.2);
  expect(count).toBeGreaterThan(10);
});

test("a frame without light has no stars to measure", async () => {
  const image = await frame("capOn");
  expect(starShapes(image, pixelStatistics(image, FULL).noiseAdu, FULL)).toBeNull();
});

test.each(reference.worldCoordinates)(
  "a place is where astropy's WCS puts it: $name",
  ({ cards, places }) => {
    const world = worldCoordinates(
      Object.entries(cards).map(([keyword, value]): Card => ({ keyword, value })),
    )!;
    for (const { pixel, sky } of places) {
      const [raDegrees, decDegrees] = sky;
      const there = world.toPixel({ raDegrees, decDegrees })!;
      expect([there.x + 1, there.y + 1]).toEqual(pixel.map((value) => expect.closeTo(value, 4)));
      const back = world.toSky({ x: pixel[0] - 1, y: pixel[1] - 1 });
      expect([back.raDegrees, back.decDegrees]).toEqual(sky.map((value) => expect.closeTo(value, 8)));
    }
  },
);
