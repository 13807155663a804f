/** Exposures suggested from signal to noise and saturation. */
import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { HOUR } from "../../src/base/units.js";
import { loadConfig } from "../../src/config/load.js";
import { assessExposure, ORDINARY_BOUNDS, suggestExposure } from "../../src/observatory/exposure.js";
import { lineMagnitude, zeroMagnitudeFlux } from "../../src/observatory/glow/emission-lines.js";
import { surfaceOf } from "../../src/observatory/glow/surface-brightness.js";
import type { Filter } from "../../src/observatory/observatory.js";
import { signalToNoise, starElectronsPerSecond } from "../../src/observatory/photometry.js";
import { appearanceOf } from "../../src/sky/appearance.js";
import { loadCatalogue } from "../../src/sky/load-catalogue.js";
import { nightNamed } from "../../src/sky/night.js";
import { horizontal } from "../../src/sky/place-at.js";
import type { FixedTarget, ObjectType, Target } from "../../src/sky/target.js";
import { bodyNamed, fixedAt } from "../sky/things.js";

const { observatory } = loadConfig("config/tern-hollow.yaml");
const named = (name: string): Filter => observatory.camera.filters.find((filter) => filter.name === name)!;
const v = named("V");
/** The Moon is nearly full and high. */
const moonlit = nightNamed("2026-11-25", "America/Chicago").startUnixMs + 13.5 * HOUR;
/** A new Moon, not up. */
const dark = nightNamed("2026-12-08", "America/Chicago").startUnixMs + 12.5 * HOUR;

function target(type: ObjectType, magnitude: number | null, sizeArcminutes: number | null): Target {
  return { ...fixedAt(100, 33), type, magnitude, sizeArcminutes };
}
const star = (magnitude: number): Target => target("star", magnitude, null);

describe("an assessment", () => {
  test("of a star agrees with the CCD equation worked by hand", () => {
    const found = assessExposure(star(12), v, 30, 1, dark, observatory)!;
    const { altitudeDegrees } = horizontal(star(12), dark, observatory.site);
    const airmass = 1 / Math.sin((altitudeDegrees * Math.PI) / 180);
    const fwhm = 2.4 * airmass ** 0.6;
    const signal = 5.9e8 * 10 ** (-0.4 * (12 + 0.15 * airmass)) * 30 * 0.9375;
    const pixels = (Math.PI * fwhm ** 2) / 0.54599 ** 2;
    const sky = 5.9e8 * 10 ** (-0.4 * found.light.skyMagnitude) * 0.54599 ** 2;
    const noise = signal + pixels * 1.1 * ((sky + 0.05) * 30 + 64 + 1.5 ** 2 / 12);
    expect(found.signalToNoise! / (signal / Math.sqrt(noise))).toBeCloseTo(1, 2);
  });

  test("of four frames has twice the signal to noise of one", () => {
    const one = assessExposure(star(14), v, 10, 1, dark, observatory)!;
    const four = assessExposure(star(14), v, 10, 4, dark, observatory)!;
    expect(four.signalToNoise! / one.signalToNoise!).toBeCloseTo(2, 9);
  });

  test("warns of saturation from the very magnitude it names", () => {
    const { saturationMagnitude } = assessExposure(star(10), v, 10, 1, dark, observatory)!;
    expect(assessExposure(star(saturationMagnitude - 0.01), v, 10, 1, dark, observatory)!.saturates).toBe(
      true,
    );
    expect(assessExposure(star(saturationMagnitude + 0.01), v, 10, 1, dark, observatory)!.saturates).toBe(
      false,
    );
  });

  test("knows no signal to noise where no magnitude is listed", () => {
    expect(
      assessExposure(target("position", null, null), v, 60, 1, dark, observatory)!.signalToNoise,
    ).toBeNull();
  });

  test("of a faint galaxy suffers from moonlight", () => {
    const galaxy = target("galaxy", 12, 3);
    const inDark = assessExposure(galaxy, v, 120, 1, dark, observatory)!;
    const inMoonlight = assessExposure(galaxy, v, 120, 1, moonlit, observatory)!;
    expect(inMoonlight.light.skyMagnitude).toBeLessThan(inDark.light.skyMagnitude - 1.5);
    expect(inMoonlight.signalToNoise!).toBeLessThan(inDark.signalToNoise! / 1.5);
  });

  test("of the Moon spreads its light over the lit part of the disc", () => {
    const { light } = assessExposure(bodyNamed("Moon"), v, 0.1, 1, moonlit, observatory)!;
    const { magnitude, diameterArcseconds, illuminatedFraction } = appearanceOf("Moon", moonlit);
    const lit = (Math.PI / 4) * diameterArcseconds ** 2 * illuminatedFraction;
    const perPixel = (starElectronsPerSecond(v, magnitude, light.airmass) / lit) * 0.54599 ** 2;
    expect(light.peakPerSecond / perPixel).toBeCloseTo(1, 3);
  });

  test("is not given below the horizon", () => {
    expect(assessExposure({ ...fixedAt(280, -40), type: "galaxy" }, v, 60, 1, dark, observatory)).toBeNull();
  });
});

describe("a suggestion", () => {
  test("for a faint star reaches a signal to noise of 100", () => {
    const found = suggestExposure(star(14), v, dark, observatory)!;
    expect(found.signalToNoise!).toBeGreaterThanOrEqual(99);
    expect(found.saturates).toBe(false);
  });

  test("for a bright star names a filter in which it does not saturate", () => {
    const found = suggestExposure(star(1), v, dark, observatory)!;
    expect(found).toMatchObject({ saturates: true, exposureSeconds: 0.1, frames: 1, betterFilter: "Hα" });
    expect(suggestExposure(star(1), named("Hα"), dark, observatory)!.saturates).toBe(false);
  });

  test("for Jupiter's disc is short, for Neptune's longer", () => {
    const jupiter = suggestExposure(bodyNamed("Jupiter"), named("R"), moonlit, observatory)!;
    expect(jupiter.exposureSeconds).toBeLessThanOrEqual(0.2);
    const evening = nightNamed("2026-11-25", "America/Chicago").startUnixMs + 7 * HOUR;
    const neptune = suggestExposure(bodyNamed("Neptune"), named("R"), evening, observatory)!;
    expect(neptune.exposureSeconds).toBeGreaterThan(jupiter.exposureSeconds);
  });

  test("for the Moon warns in every broad filter and proposes the narrow one", () => {
    const found = suggestExposure(bodyNamed("Moon"), v, moonlit, observatory)!;
    expect(found.saturates).toBe(true);
    expect(found.betterFilter).toBe("Hα");
  });

  test("proposes the widest of several filters that would do", () => {
    const low = nightNamed("2026-11-25", "America/Chicago").startUnixMs + 13.5 * HOUR;
    expect(suggestExposure(bodyNamed("Jupiter"), named("clear"), low, observatory)).toMatchObject({
      saturates: true,
      betterFilter: "V",
    });
  });

  test("keeps within what may be asked, never saturates when a shorter exposure would not, over all magnitudes", () => {
    const bounds = { shortestSeconds: 1, longestSeconds: 120, mostFrames: 6 };
    const filters = fc.constantFrom(...observatory.camera.filters);
    const magnitudes = fc.double({ min: -1, max: 20, noNaN: true });
    const sizes = fc.option(fc.double({ min: 0.05, max: 200, noNaN: true }));
    fc.assert(
      fc.property(filters, magnitudes, sizes, (filter, magnitude, size) => {
        const wish = target("galaxy", magnitude, size);
        const found = suggestExposure(wish, filter, dark, observatory, bounds)!;
        expect(found.exposureSeconds).toBeGreaterThanOrEqual(1);
        expect(found.exposureSeconds).toBeLessThanOrEqual(120);
        expect(found.frames).toBeGreaterThanOrEqual(1);
        expect(found.frames).toBeLessThanOrEqual(6);
        const shortest = assessExposure(wish, filter, 1, 1, dark, observatory)!;
        if (!shortest.saturates) expect(found.saturates).toBe(false);
        else expect(found.exposureSeconds).toBe(1);
      }),
    );
  });

  test("fills no pixel beyond 70 %, where a small full well is reached before the goal", () => {
    const shallow = { ...observatory, camera: { ...observatory.camera, fullWellElectrons: 300 } };
    for (let magnitude = 8; magnitude < 14; magnitude += 0.1) {
      const { light, exposureSeconds } = suggestExposure(star(magnitude), v, dark, shallow)!;
      if (exposureSeconds > 0.1)
        expect((light.peakPerSecond + light.skyPerSecondPerPixel) * exposureSeconds).toBeLessThan(0.71 * 300);
    }
  });

  test("gives a fainter target no less time in all", () => {
    const time = (magnitude: number): number => {
      const found = suggestExposure(star(magnitude), v, dark, observatory, ORDINARY_BOUNDS)!;
      return found.exposureSeconds * found.frames;
    };
    for (let magnitude = 6; magnitude < 18; magnitude += 0.5)
      expect(time(magnitude + 0.5)).toBeGreaterThanOrEqual(time(magnitude) * 0.99);
  });

  test("for a blank position lets the sky rise well above the read noise", () => {
    const found = suggestExposure(target("position", null, null), named("clear"), dark, observatory)!;
    const skyElectrons = found.light.skyPerSecondPerPixel * found.exposureSeconds;
    expect(skyElectrons).toBeGreaterThanOrEqual(5 * observatory.camera.readNoiseElectrons ** 2);
  });
});

describe("narrow filters", () => {
  const catalogue = loadCatalogue();
  const hAlpha = named("Hα");
  const listed = (name: string): FixedTarget => catalogue.lookUp(name).found as FixedTarget;
  /** High and dark, wherever it stands in the sky. */
  const high = (name: string): Target => ({ ...listed(name), raDegrees: 100, decDegrees: 33 });

  test("see a planetary nebula in its line, brighter than its magnitude says", () => {
    const ring = assessExposure(high("M57"), hAlpha, 60, 1, dark, observatory)!;
    expect(ring.light.kind).toBe("extended");
    const byMagnitude = surfaceOf(listed("M57"))!.core;
    const line = lineMagnitude(listed("M57"), hAlpha) as number;
    expect(line).toBeLessThan((listed("M57").magnitude as number) - 1);
    expect(byMagnitude).toBeGreaterThan(15);
    expect(suggestExposure(high("M57"), hAlpha, dark, observatory)!.signalToNoise).toBeGreaterThan(20);
  });

  test("give a line of 1e-16 erg/s/cm² at 656.3 nm as many electrons as its photons, at the filter's own efficiency", () => {
    // A photon of 656.28 nm carries h c / λ = 3.0268e-12 erg (SI constants).
    const photons = 1e-16 / ((6.62607015e-27 * 2.99792458e10) / 656.28e-7);
    expect(photons).toBeCloseTo(3.3038e-5, 8);
    // A perfect filter 1 nm wide on 1 cm²: its zero point is the photons of a magnitude-0 star in it.
    const perfect = (zeroMagnitudeFlux(656.28) * 10) / 3.0268e-12;
    const filter = { ...hAlpha, zeroPointElectrons: perfect, widthNanometres: 1, centreNanometres: 656.28 };
    const magnitude = lineMagnitude(listed("M57"), filter) as number;
    // log F(Hβ) = −10.08 and c = 0.29 make F(Hα) = 2.945e-10.
    expect(starElectronsPerSecond(filter, magnitude, 0) / ((2.945e-10 / 1e-16) * photons)).toBeCloseTo(1, 2);
  });

  test("see the Orion Nebula in a minute, as bright as the radio flux of its gas makes it", () => {
    const orion = high("M42");
    expect(assessExposure(orion, hAlpha, 60, 1, dark, observatory)!.signalToNoise).toBeGreaterThan(3);
    // 410 Jy at 23 GHz are about 3.05e12 mJy for each erg/cm²/s of Hβ (T = 9,000 K); dust of c = 0.6 leaves a quarter.
    const hydrogenBeta = (410e3 / 3.05e12) * 10 ** -0.6;
    const flux = hydrogenBeta * 2.86 * 10 ** (0.32 * 0.6);
    const { centreNanometres: centre, widthNanometres: width } = hAlpha;
    const magnitude =
      -2.5 * Math.log10(flux / (zeroMagnitudeFlux(centre as number) * (width as number) * 10));
    expect(Math.abs((lineMagnitude(listed("M42"), hAlpha) as number) - magnitude)).toBeLessThan(0.05);
  });

  test("say that they do not know where no flux is published, and nothing of length or other filters", () => {
    const seen = assessExposure(high("NGC 7000"), hAlpha, 60, 1, dark, observatory)!;
    expect(seen).toMatchObject({ signalToNoise: null, light: { kind: "gas" } });
  });

  test("see stars and galaxies by their continuum", () => {
    expect(lineMagnitude(listed("M31"), hAlpha)).toBeUndefined();
    expect(assessExposure(high("M31"), hAlpha, 60, 1, dark, observatory)!.signalToNoise).toBeGreaterThan(1);
  });

  test("of a line they do not let through see nothing known", () => {
    const continuum = { ...hAlpha, centreNanometres: 645, widthNanometres: 5 };
    expect(lineMagnitude(listed("M57"), continuum)).toBeNull();
  });
});

describe("extended targets", () => {
  const catalogue = loadCatalogue();
  const listed = (name: string): FixedTarget => catalogue.lookUp(name).found as FixedTarget;

  test("are as bright as published where their light is", () => {
    // M57 17.6 and the Helix 20.8 V magnitudes per square arc second (mean of the bright part; from memory).
    expect(surfaceOf(listed("M57"))!.core).toBeCloseTo(17.6, 0);
    expect(Math.abs(surfaceOf(listed("Helix Nebula"))!.core - 20.8)).toBeLessThan(0.5);
    // The centre of M13: 16.6 (Harris 1996, from memory); its inner half of the light is fainter than that.
    expect(surfaceOf(listed("M13"))!.core).toBeGreaterThan(16.6);
    expect(surfaceOf(listed("M13"))!.core).toBeLessThan(18);
  });

  test("show in a minute what shows in a minute: the heart of the Andromeda Galaxy", () => {
    const andromeda = { ...listed("M31"), raDegrees: 100, decDegrees: 33 };
    const found = suggestExposure(andromeda, named("clear"), dark, observatory)!;
    expect(found.exposureSeconds * found.frames).toBeLessThanOrEqual(120);
    expect(found.outskirtsSignalToNoise!).toBeLessThan(found.signalToNoise! / 3);
  });

  test("are not exposed for less than the camera takes to read out, unless something burns out", () => {
    const snowball = { ...listed("NGC 7662"), raDegrees: 100, decDegrees: 33 };
    const { exposureSeconds, saturates } = suggestExposure(snowball, named("clear"), dark, observatory)!;
    expect(saturates).toBe(false);
    expect(exposureSeconds).toBeGreaterThanOrEqual(observatory.camera.readOutSeconds);
  });

  test("of V = 24 per square arc second give the handbook's S/N: 13.0 e⁻ signal beside 44.1 and 124.2 (sky and dark) and read-out", () => {
    // HST WFPC2 Instrument Handbook, 6.7: an extended source worked by hand; N = 13.0, S/N 3.4 (from memory).
    expect(44.1 / Math.sqrt(44.1 + 124.2)).toBeCloseTo(3.4, 1);
    const inputs = {
      ...{ signalPerSecond: 44.1, skyPerSecondPerPixel: 124.2, darkPerSecondPerPixel: 0, readNoise: 0 },
      ...{ pixels: 1, backgroundPixels: 1e9, gainElectronsPerAdu: 1e-9 },
    };
    expect(signalToNoise(inputs, 1)).toBeCloseTo(3.4, 1);
  });
});

describe("a shutter", () => {
  const slow = {
    ...observatory,
    camera: { ...observatory.camera, shortestExposureSeconds: 0.5, longestExposureSeconds: 30 },
  };

  test("that is mechanical sets the shortest exposure that is proposed, and the mount the longest", () => {
    expect(suggestExposure(star(1), v, dark, slow)!.exposureSeconds).toBe(0.5);
    expect(suggestExposure(star(17), v, dark, slow)!.exposureSeconds).toBe(30);
  });

  test("of a camera with one filter is never helped by another", () => {
    const one = { ...slow, camera: { ...slow.camera, filters: [v] } };
    expect(suggestExposure(star(1), v, dark, one)).toMatchObject({ saturates: true, betterFilter: null });
  });
});
