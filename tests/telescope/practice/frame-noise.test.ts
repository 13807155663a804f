import { describe, expect, it } from "vitest";
import { airmassAtTrue } from "../../../src/sky/airmass.js";
import { circumstancesOf } from "../../../src/telescope/frames/exposure.js";
import { pixelStatistics } from "../../../src/telescope/frames/pixel-statistics.js";
import { readOut } from "../../../src/telescope/practice/exposure-noise.js";
import { simulate } from "../../../src/telescope/practice/frame.js";
import { evenLight } from "../../../src/telescope/practice/image.js";
import { allReady, config, exposureOf, JUNE_DAY, JUNE_NIGHT, onlyStars } from "./practice-example.js";

const { camera } = config.observatory;
const { biasAdu, gainElectronsPerAdu: gain, readNoiseElectrons } = camera;

function moments(pixels: Uint16Array): { mean: number; variance: number; skewness: number } {
  const mean = pixels.reduce((sum, value) => sum + value, 0) / pixels.length;
  const central = (power: number): number =>
    pixels.reduce((sum, value) => sum + (value - mean) ** power, 0) / pixels.length;
  return { mean, variance: central(2), skewness: central(3) / central(2) ** 1.5 };
}

describe("reading the camera out", () => {
  // The CCD equation's variance in one pixel, in ADU²: (electrons + read noise²) / gain², and rounding.
  it.each([0, 0.4, 3, 5.9, 6.1, 25, 400, 30_000])(
    "gives the CCD equation's mean and variance at %s electrons",
    (electrons) => {
      const { mean, variance } = moments(readOut(evenLight(600, 600, electrons), camera, 3).pixels);
      const expected = (electrons + readNoiseElectrons ** 2) / gain ** 2 + 1 / 12;
      expect(Math.abs(mean - biasAdu - electrons / gain)).toBeLessThan(
        5 * Math.sqrt(expected / 360_000) + 0.01,
      );
      expect(variance / expected).toBeGreaterThan(0.985);
      expect(variance / expected).toBeLessThan(1.015);
    },
  );

  it("keeps the skewness of few photons: a Poisson deviate's is 1/√mean", () => {
    const noiseless = { ...camera, readNoiseElectrons: 0, gainElectronsPerAdu: 1 };
    for (const electrons of [2, 12, 40]) {
      const { skewness } = moments(readOut(evenLight(600, 600, electrons), noiseless, 4).pixels);
      expect(skewness).toBeCloseTo(1 / Math.sqrt(electrons), 1);
    }
  });

  it("holds no more than the full well, nor than sixteen bits", () => {
    const full = readOut(evenLight(50, 50, 1e6), camera, 1).pixels;
    const top = biasAdu + camera.fullWellElectrons / gain;
    expect(moments(full).mean).toBeCloseTo(top, 0);
    const deep = readOut(evenLight(50, 50, 1e6), { ...camera, fullWellElectrons: 1e6 }, 1).pixels;
    expect(Math.min(...deep)).toBe(65_535);
  });

  it("is the same again with the same seed, and another with another", () => {
    const light = evenLight(40, 40, 100);
    expect(readOut(light, camera, 5).pixels).toEqual(readOut(light, camera, 5).pixels);
    expect(readOut(light, camera, 5).pixels).not.toEqual(readOut(light, camera, 6).pixels);
  });
});

describe("the background of a frame", () => {
  it("is bias and dark current alone when the dome is shut, and when the Sun is up", () => {
    const dark = biasAdu + (camera.darkElectronsPerSecond * 600) / gain;
    const shut = exposureOf({ exposureSeconds: 600, equipment: { ...allReady, dome: "shut" } });
    const day = exposureOf({ exposureSeconds: 600, startUnixMs: JUNE_DAY });
    for (const exposure of [shut, day]) {
      const { mean } = moments(simulate(exposure, onlyStars([])).image.pixels);
      expect(mean).toBeCloseTo(dark, 1);
    }
  });

  it("is as bright as the sky's magnitudes per square arc second say", () => {
    const exposure = exposureOf();
    const { image, circumstances } = simulate(exposure, onlyStars([]));
    const pixelArea = ((camera.pixelMicrometres / 1000 / camera.focalLengthMillimetres) * 206_264.806) ** 2;
    const perSecond = circumstances.filter.zeroPointElectrons * 10 ** (-0.4 * circumstances.skyMagnitude);
    const electrons = (perSecond * pixelArea + camera.darkElectronsPerSecond) * 60;
    expect(moments(image.pixels).mean).toBeCloseTo(biasAdu + electrons / gain, 0);
    const { noiseAdu } = pixelStatistics(image, 65_535);
    expect(noiseAdu).toBeCloseTo(Math.sqrt(electrons + readNoiseElectrons ** 2) / gain, -0.3);
  });

  it("brightens with the Moon and in twilight", () => {
    const sky = (startUnixMs: number): number => circumstancesOf(exposureOf({ startUnixMs })).skyMagnitude;
    const moonless = sky(JUNE_NIGHT);
    expect(moonless).toBeGreaterThan(21);
    // Full Moon on 2026-06-29 at 23:57 UTC (astronomical almanacs).
    expect(sky(Date.parse("2026-06-30T06:00:00Z"))).toBeLessThan(moonless - 1.5);
    expect(sky(Date.parse("2026-06-15T03:10:00Z"))).toBeLessThan(moonless - 3);
  });

  it("grows stars wider with airmass to the power 0.6", () => {
    const { fwhmArcseconds, airmass, altitudeDegrees } = circumstancesOf(
      exposureOf({ startUnixMs: JUNE_NIGHT + 5 * 3_600_000 }),
    );
    expect(airmass).toBeCloseTo(airmassAtTrue(altitudeDegrees), 9);
    expect(airmass).toBeGreaterThan(1.3);
    expect(fwhmArcseconds).toBeCloseTo(camera.seeingArcseconds * airmass ** 0.6, 9);
  });
});
