/** Magnitudes to electrons, images to pixels, and the CCD equation. */
import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { loadConfig } from "../../src/config/load.js";
import {
  peakPixelFraction,
  pixelScaleArcseconds,
  saturationElectrons,
  seeingAtAirmass,
  signalToNoise,
  skyElectronsPerSecond,
  starElectronsPerSecond,
} from "../../src/observatory/photometry.js";

const { camera } = loadConfig("config/tern-hollow.yaml").observatory;
const v = camera.filters.find((filter) => filter.name === "V")!;

test("a 9 µm pixel behind 3.4 m of focal length covers 0.546″", () => {
  expect(pixelScaleArcseconds(camera)).toBeCloseTo(206.265 * (9 / 3400), 4);
});

test("five magnitudes are a factor of a hundred, and an airmass costs its extinction", () => {
  expect(starElectronsPerSecond(v, 5, 0)).toBeCloseTo(v.zeroPointElectrons / 100, 3);
  const dimming = starElectronsPerSecond(v, 8, 2) / starElectronsPerSecond(v, 8, 1);
  expect(-2.5 * Math.log10(dimming)).toBeCloseTo(v.extinction, 9);
});

test("a pixel of sky collects what a star of the sky's magnitude would, by its area", () => {
  const perPixel = skyElectronsPerSecond(v, camera, 21.2);
  const area = pixelScaleArcseconds(camera) ** 2;
  expect(perPixel / area).toBeCloseTo(starElectronsPerSecond(v, 21.2, 0), 9);
});

test("seeing grows as the 0.6th power of airmass", () => {
  expect(seeingAtAirmass(camera, 1)).toBe(camera.seeingArcseconds);
  expect(seeingAtAirmass(camera, 2) / camera.seeingArcseconds).toBeCloseTo(1.5157, 4);
});

describe("the peak pixel", () => {
  test("holds what integrating the Gaussian over it gives", () => {
    const sigma = 2.4 / 2.354820045;
    const cells = 200;
    let sum = 0;
    for (let i = 0; i < cells; i++) {
      const x = ((i + 0.5) / cells - 0.5) * 0.546;
      sum += (Math.exp((-x * x) / (2 * sigma * sigma)) / (sigma * Math.sqrt(2 * Math.PI))) * (0.546 / cells);
    }
    expect(peakPixelFraction(2.4, 0.546)).toBeCloseTo(sum ** 2, 5);
  });

  test("takes nearly all of a star much smaller than itself", () => {
    expect(peakPixelFraction(0.1, 2)).toBeCloseTo(1, 6);
  });
});

test("saturation is the full well or the end of the 16-bit scale, whichever comes first", () => {
  expect(saturationElectrons(camera)).toBe(camera.fullWellElectrons);
  const highGain = { ...camera, gainElectronsPerAdu: 0.5 };
  expect(saturationElectrons(highGain)).toBe((65_535 - camera.biasAdu) * 0.5);
});

describe("the CCD equation", () => {
  test("gives 342 in Howell's example: 24 013 counts, 620 of sky, gain 5, read noise 5, one pixel (from memory)", () => {
    // Handbook of CCD Astronomy, 4.4. The dark current is 22 electrons an hour, the exposure 300 s.
    const inputs = {
      signalPerSecond: (24_013 * 5) / 300,
      skyPerSecondPerPixel: (620 * 5) / 300,
      darkPerSecondPerPixel: 22 / 3600,
      readNoise: 5,
      pixels: 1,
      backgroundPixels: 200,
      gainElectronsPerAdu: 5,
    };
    expect(Math.round(signalToNoise(inputs, 300))).toBe(342);
  });

  test("makes a bright star's noise that of its own photons", () => {
    const inputs = {
      signalPerSecond: 1e6,
      skyPerSecondPerPixel: 1,
      darkPerSecondPerPixel: 0,
      readNoise: 5,
      pixels: 20,
      backgroundPixels: 400,
      gainElectronsPerAdu: 1,
    };
    expect(signalToNoise(inputs, 1) / 1000).toBeCloseTo(1, 2);
  });

  test("never loses by exposing longer, nor gains by more read noise, sky or fewer background pixels", () => {
    const rate = (max: number) => fc.double({ min: 0.01, max, noNaN: true });
    fc.assert(
      fc.property(rate(1e4), rate(100), rate(20), rate(600), (signal, sky, noise, seconds) => {
        const inputs = {
          signalPerSecond: signal,
          skyPerSecondPerPixel: sky,
          darkPerSecondPerPixel: 0.05,
          readNoise: noise,
          pixels: 50,
          backgroundPixels: 500,
          gainElectronsPerAdu: 1.5,
        };
        const ratio = signalToNoise(inputs, seconds);
        expect(signalToNoise(inputs, seconds * 1.1)).toBeGreaterThan(ratio);
        expect(signalToNoise({ ...inputs, readNoise: noise + 1 }, seconds)).toBeLessThan(ratio);
        expect(signalToNoise({ ...inputs, skyPerSecondPerPixel: sky + 1 }, seconds)).toBeLessThan(ratio);
        expect(signalToNoise({ ...inputs, backgroundPixels: 50 }, seconds)).toBeLessThan(ratio);
      }),
    );
  });
});
