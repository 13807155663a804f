import { describe, expect, it } from "vitest";
import { loadStars } from "../../../src/sky/load-stars.js";
import { detectStars } from "../../../src/telescope/frames/detect-stars.js";
import { expectedStars } from "../../../src/telescope/frames/expected-stars.js";
import { pixelStatistics } from "../../../src/telescope/frames/pixel-statistics.js";
import { toPixel } from "../../../src/telescope/practice/field.js";
import { inventedStars } from "../../../src/telescope/practice/field-stars.js";
import { type SimulatedFrame, simulate } from "../../../src/telescope/practice/frame.js";
import { emptyPlace, exposureOf, jupiter, onlyStars, smallCamera } from "./practice-example.js";

const gainElectronsPerAdu = 1.5;

function found(frame: SimulatedFrame): ReturnType<typeof detectStars> {
  return detectStars(frame.image, { ...pixelStatistics(frame.image, 60_000), gainElectronsPerAdu });
}

function nearest(frame: SimulatedFrame, place: { x: number; y: number }): number {
  return Math.min(...found(frame).map((star) => Math.hypot(star.x - place.x, star.y - place.y)));
}

describe("a listed star", () => {
  it("is found within a fifth of a pixel of where its coordinates say", () => {
    const stars = [0, 1, 2, 3, 4, 5].map((i) => ({
      raDegrees: 250 + 0.008 * (i - 2.5),
      decDegrees: 38 + 0.006 * ((i % 3) - 1),
      magnitude: 11 + 0.3 * i,
    }));
    const frame = simulate(exposureOf(), onlyStars(stars));
    expect(found(frame)).toHaveLength(stars.length);
    for (const star of stars)
      expect(nearest(frame, toPixel(frame.field, star.raDegrees, star.decDegrees)!)).toBeLessThan(0.2);
  });

  it("gives the electrons of its magnitude, dimmed by the air", () => {
    const star = { raDegrees: 250, decDegrees: 38, magnitude: 13 };
    const empty = simulate(exposureOf(), onlyStars([]));
    const frame = simulate(exposureOf(), onlyStars([star]));
    let adu = 0;
    for (let i = 0; i < frame.image.pixels.length; i++)
      adu += frame.image.pixels[i]! - empty.image.pixels[i]!;
    const { filter, airmass } = frame.circumstances;
    const electrons = filter.zeroPointElectrons * 10 ** (-0.4 * (13 + filter.extinction * airmass)) * 60;
    expect((adu * gainElectronsPerAdu) / electrons).toBeGreaterThan(0.97);
    expect((adu * gainElectronsPerAdu) / electrons).toBeLessThan(1.01);
  });

  it("is dimmed by cloud, and gone under a thick one", () => {
    const stars = onlyStars([{ raDegrees: 250, decDegrees: 38, magnitude: 13 }]);
    const flux = (cloudMagnitudes: number): number =>
      found(simulate(exposureOf({ cloudMagnitudes }), stars))[0]?.fluxAdu ?? 0;
    expect(flux(2) / flux(0)).toBeCloseTo(10 ** -0.8, 1);
    expect(flux(12)).toBe(0);
  });

  it("of the real list stands in the frame: the Pleiades", () => {
    const pleiades = { ...emptyPlace, raDegrees: 56.85, decDegrees: 24.117 };
    const startUnixMs = Date.parse("2026-11-20T06:00:00Z");
    const frame = simulate(
      exposureOf({
        target: pleiades,
        filter: "Hα",
        exposureSeconds: 0.1,
        startUnixMs,
        observatory: smallCamera(1024),
      }),
      loadStars(),
    );
    // Alcyone, V 2.87: 3 47 29.08, +24 06 18.5 (Hipparcos 17702).
    const alcyone = toPixel(frame.field, 56.87115, 24.10514)!;
    expect(nearest(frame, alcyone)).toBeLessThan(0.5);
  });
});

describe("invented stars", () => {
  const field = simulate(exposureOf(), onlyStars([])).field;

  it("are the same at every visit; a deeper frame only adds to them", () => {
    const shallow = inventedStars(field, 9, 15);
    const deep = inventedStars(field, 9, 18);
    expect(inventedStars(field, 9, 15)).toEqual(shallow);
    expect(deep.length).toBeGreaterThan(shallow.length);
    for (const star of shallow) expect(deep).toContainEqual(star);
  });

  it("are the same where two fields overlap", () => {
    const beside = { ...field, raDegrees: field.raDegrees + 0.04 };
    const key = (star: { raDegrees: number; decDegrees: number }): string =>
      `${star.raDegrees} ${star.decDegrees}`;
    const inBoth = (star: { raDegrees: number; decDegrees: number }): boolean =>
      [field, beside].every((each) => {
        const place = toPixel(each, star.raDegrees, star.decDegrees)!;
        return place.x > 0 && place.x < 511 && place.y > 0 && place.y < 511;
      });
    const here = inventedStars(field, 9, 18).filter(inBoth).map(key).sort();
    expect(here.length).toBeGreaterThan(3);
    expect(inventedStars(beside, 9, 18).filter(inBoth).map(key).sort()).toEqual(here);
  });

  it("leave what is listed to the list", () => {
    expect(Math.min(...inventedStars(field, 12, 16).map((star) => star.magnitude))).toBeGreaterThanOrEqual(
      12,
    );
  });

  it("cover the field at the pole and across 0 h", () => {
    for (const place of [
      { raDegrees: 359.99, decDegrees: 10 },
      { raDegrees: 12, decDegrees: 89.99 },
      { raDegrees: 0.01, decDegrees: -89.95 },
    ]) {
      const there = { ...field, ...place, width: 2048, height: 2048 };
      const pixels = inventedStars(there, 7, 17).map(
        (star) => toPixel(there, star.raDegrees, star.decDegrees)!,
      );
      for (const [right, top] of [
        [false, false],
        [false, true],
        [true, false],
        [true, true],
      ]) {
        const quarter = pixels.filter(
          ({ x, y }) => x >= 0 && y >= 0 && x < 2048 && y < 2048 && x > 1024 === right && y > 1024 === top,
        );
        expect(quarter.length).toBeGreaterThan(5);
      }
    }
  });
});

describe("the number of stars that a clear frame should show", () => {
  it.each([
    ["far from the Milky Way", 192, 27, "2026-05-15T05:00:00Z"],
    ["in the Milky Way", 300, 35, "2026-09-15T03:00:00Z"],
  ])("is what is found, within a factor of two: %s", (_where, raDegrees, decDegrees, when) => {
    for (const exposureSeconds of [5, 60]) {
      const exposure = exposureOf({
        target: { ...emptyPlace, raDegrees, decDegrees },
        startUnixMs: Date.parse(when),
        exposureSeconds,
        observatory: smallCamera(1024),
      });
      const frame = simulate(exposure, loadStars());
      const expected = expectedStars({
        ...frame.circumstances,
        camera: exposure.observatory.camera,
        exposureSeconds,
      });
      const ratio = found(frame).length / expected;
      expect(ratio).toBeGreaterThan(0.5);
      expect(ratio).toBeLessThan(2);
    }
  });
});

describe("a bare frame", () => {
  it("shows no star where there is none", () => {
    for (let seed = 0; seed < 4; seed++)
      expect(found(simulate(exposureOf({ seed }), onlyStars([])))).toHaveLength(0);
  });
});

describe("Jupiter", () => {
  it("fills a disc of its true size, with its moons beside it", () => {
    const startUnixMs = Date.parse("2026-11-26T11:00:00Z");
    const exposure = exposureOf({ target: jupiter, filter: "Hα", exposureSeconds: 0.1, startUnixMs });
    const frame = simulate({ ...exposure, observatory: smallCamera(1400) }, onlyStars([]));
    const { pixels } = frame.image;
    const peak = pixels.reduce((most, value) => Math.max(most, value), 0);
    const area = pixels.filter((value) => value - 1000 > (peak - 1000) * 0.1).length;
    const diameter = Math.sqrt((4 * area) / (Math.PI * 0.935)) * frame.field.arcsecondsPerPixel;
    // 38.6″ at the equator, from the distance that astropy gives for that hour; flattened by 0.935.
    expect(diameter).toBeGreaterThan(37);
    expect(diameter).toBeLessThan(40.5);
    expect(found(frame).length).toBeGreaterThanOrEqual(3);
  });
});
