import { inflateSync } from "node:zlib";
import { describe, expect, it } from "vitest";
import { seededRandom } from "../../../src/base/random.js";
import { loadStars } from "../../../src/sky/load-stars.js";
import type { Exposure } from "../../../src/telescope/frames/exposure.js";
import {
  type FrameJob,
  judge,
  previewLabels,
  previewSettings,
} from "../../../src/telescope/frames/keep-frame.js";
import { encodeGreyPng } from "../../../src/telescope/frames/png.js";
import { previewPng, previewSvg } from "../../../src/telescope/frames/preview.js";
import { shrink, stretch, stretchLimits } from "../../../src/telescope/frames/stretch.js";
import { type Simulation, simulate } from "../../../src/telescope/practice/frame.js";
import { allReady, config, exposureOf, JUNE_DAY, m13, smallCamera } from "../practice/practice-example.js";

const stars = loadStars();

function previewOf(change: Partial<Exposure & Simulation>) {
  const exposure = exposureOf({ target: m13, observatory: config.observatory, ...change });
  const files = { fitsPath: "", previewPath: "" };
  const unmeasured = {
    usualFwhmArcseconds: null,
    slitOffDegrees: null,
    limits: { trailedElongation: null, outOfFocusArcseconds: null },
    cards: [],
  };
  const job: FrameJob = { exposure, requestNumber: 12, index: 2, simulated: true, ...files, ...unmeasured };
  const { image, circumstances } = simulate(exposure, stars);
  const verdict = judge(image, exposure, circumstances);
  const settings = previewSettings(exposure, circumstances, verdict);
  return { frame: { image }, settings, labels: previewLabels(job, circumstances, verdict) };
}

describe("a preview", () => {
  const { frame, settings, labels } = previewOf({});
  const svg = previewSvg(frame.image, settings, labels);

  it("says SIMULATED across the picture and in its caption", () => {
    const words = [...svg.matchAll(/<text[^>]*>([^<]*)<\/text>/g)].map((match) => match[1]);
    expect(words.filter((text) => text === "SIMULATED")).toHaveLength(1);
    expect(words).toContain("#12 Hercules Cluster (M13) · SIMULATED");
  });

  it("says filter, exposure, frame, local time, altitude and scale", () => {
    expect(svg).toContain("V · 60 s · frame 2 · 15 Jun 2026 00:00:00 CDT · altitude 79°, airmass 1.02");
    expect(svg).toContain("north up, east left");
    expect(svg).toMatch(/>2′<\/text>/);
  });

  it("is a picture 800 pixels wide and at most 150 kB, with many shades of grey", async () => {
    const png = previewPng(frame.image, settings, labels);
    expect(png.length).toBeLessThan(150_000);
    const { width, grey } = decodeGrey(png);
    expect(width).toBe(800);
    expect(new Set(grey).size).toBeGreaterThan(20);
  });

  it("cannot be broken by a name", () => {
    const hostile = { ...labels, title: `<script>&"'\u0000` };
    expect(previewSvg(frame.image, settings, hostile)).toContain("&lt;script&gt;&amp;&quot;");
  });
});

describe("a preview of a frame without light", () => {
  it.each<[string, Partial<Exposure & Simulation>, RegExp]>([
    ["by day", { startUnixMs: JUNE_DAY }, /Black: the Sun's altitude was 68\.9°/],
    ["with the dome shut", { equipment: { ...allReady, dome: "shut" } }, /Black: the dome was shut/],
    ["without a camera", { equipment: { ...allReady, camera: "away" } }, /Synthetic: no camera fitted/],
    ["under cloud", { cloudMagnitudes: 14 }, /Black: cloud/],
  ])("is a black rectangle that says why: %s", async (_name, change, words) => {
    const { frame, settings, labels } = previewOf({ observatory: smallCamera(1024), ...change });
    expect(previewSvg(frame.image, settings, labels)).toMatch(words);
    const { grey, width } = decodeGrey(
      previewPng(frame.image, { ...settings }, { ...labels, across: null, verdict: null }),
    );
    // Above the scale bar nothing shines.
    expect(grey.subarray(0, width * 700).every((shade) => shade === 0)).toBe(true);
  });
});

describe("the stretch", () => {
  it("turns the frame the right way up: the last row of a FITS image is on top", () => {
    const pixels = Uint16Array.from({ length: 16 }, (_, i) => i);
    expect([...shrink({ width: 4, height: 4, pixels }, 1, 4).values.subarray(0, 4)]).toEqual([
      12, 13, 14, 15,
    ]);
    expect([...shrink({ width: 4, height: 4, pixels }, 1, 2).values]).toEqual([10.5, 12.5, 2.5, 4.5]);
    expect([...shrink({ width: 4, height: 4, pixels }, 0.5, 2).values]).toEqual([9, 10, 5, 6]);
  });

  it("shows a faint glow that fills most of the frame, smoothly, beside stars that are a hundred times brighter", () => {
    const random = seededRandom(5);
    const width = 300;
    // Sky on the left, a glow of up to 400 counts to the right of it, noise of 8 counts, some stars.
    const glow = (x: number): number => (x < 60 ? 0 : (400 * (x - 60)) / (width - 60));
    const values = Float32Array.from({ length: width * width }, (_, index) => {
      const star = index % 500 === 7 ? 40_000 : 0;
      return 1_200 + glow(index % width) + 8 * random.normal() + star;
    });
    const view = { width, height: width, values };
    const grey = stretch(view, stretchLimits(view, false, 65_535));
    const column = (x: number): number[] =>
      Array.from({ length: width }, (_, y) => grey[y * width + x] as number).filter((shade) => shade < 200);
    const mean = (shades: number[]): number => shades.reduce((sum, each) => sum + each, 0) / shades.length;
    expect(mean(column(30))).toBeLessThan(4);
    expect(mean(column(290))).toBeGreaterThan(40);
    // No stretch of one shade: neighbouring means grow without steps, for the noise blurs them.
    for (let x = 80; x < 290; x += 10) {
      expect(new Set(column(x)).size).toBeGreaterThan(1);
      expect(mean(column(x + 10))).toBeGreaterThan(mean(column(x)));
    }
  });

  it("never shows the brighter darker", () => {
    const values = Float32Array.from({ length: 1000 }, (_, i) => 1000 + i * i);
    const view = { width: 100, height: 10, values };
    const grey = stretch(view, stretchLimits(view, false, 65_535));
    for (let i = 1; i < grey.length; i++) expect(grey[i]!).toBeGreaterThanOrEqual(grey[i - 1]!);
  });
});

describe("our PNG writer", () => {
  it("keeps every grey", () => {
    const grey = Uint8Array.from({ length: 12 * 7 }, (_, i) => (i * 37) % 256);
    expect(decodeGrey(encodeGreyPng(12, 7, grey))).toEqual({ width: 12, height: 7, grey });
  });
});

/** Reads what `encodeGreyPng` writes: one IDAT, no row filter. */
function decodeGrey(png: Buffer): { width: number; height: number; grey: Uint8Array } {
  const width = png.readUInt32BE(16);
  const height = png.readUInt32BE(20);
  const start = png.indexOf("IDAT");
  const rows = inflateSync(png.subarray(start + 4, start + 4 + png.readUInt32BE(start - 4)));
  const grey = new Uint8Array(width * height);
  for (let y = 0; y < height; y++)
    grey.set(rows.subarray(y * (width + 1) + 1, (y + 1) * (width + 1)), y * width);
  return { width, height, grey };
}
