/** Moonlight on the sky: Krisciunas & Schaefer 1991, PASP 103, 1033. */
import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { magnitudeOf, nanolambertsOf, skyMagnitude } from "../../src/sky/sky-brightness.js";

/** Their example site: 2800 m, extinction 0.172, dark zenith sky V = 21.587, which is 79.0 nL (from memory). */
const site = { darkMagnitude: 21.587, extinction: 0.172 };
const zenith = { ...site, altitudeDegrees: 90 };
const fullMoon = { phaseAngleDegrees: 0, altitudeDegrees: 45, separationDegrees: 45 };

describe("units", () => {
  test("V = 21.587 is 79.0 nanolamberts, as in the paper", () => {
    expect(nanolambertsOf(21.587)).toBeCloseTo(79.0, 1);
  });
  test("convert there and back", () => {
    expect(magnitudeOf(nanolambertsOf(19.3))).toBeCloseTo(19.3, 9);
  });
});

describe("the dark sky", () => {
  test("is what was measured, at the zenith", () => {
    expect(skyMagnitude({ ...zenith, moon: null })).toBeCloseTo(21.587, 9);
  });
  test("is brighter lower down: by 0.6 mag at 30°", () => {
    // Airmass of the layer 1.890; 2.5 log 1.890 − 0.172 × 0.890 = 0.538.
    expect(21.587 - skyMagnitude({ ...site, altitudeDegrees: 30, moon: null })).toBeCloseTo(0.538, 2);
  });
});

describe("moonlight", () => {
  test("of a full Moon halfway up costs the zenith three to four magnitudes", () => {
    const loss = 21.587 - skyMagnitude({ ...zenith, moon: fullMoon });
    expect(loss).toBeGreaterThan(2.9);
    expect(loss).toBeLessThan(4);
  });

  test("adds by hand calculation: full Moon at 45°, 45° away from the zenith", () => {
    // f = 10^5.36 (1.06 + 0.5) + 10^(6.15 − 1.125) = 357 369 + 105 925 … times I* = 10^(−1.536),
    // times 10^(−0.4 × 0.172 × 1.3868) on the way in, times 1 − 10^(−0.4 × 0.172) scattered: 1 590 nL.
    const scattering = 10 ** 5.36 * 1.56 + 10 ** 5.025;
    const airmass = 1 / Math.sqrt(1 - 0.96 * 0.5);
    const added = scattering * 10 ** -1.536 * 10 ** (-0.0688 * airmass) * (1 - 10 ** -0.0688);
    expect(nanolambertsOf(skyMagnitude({ ...zenith, moon: fullMoon }))).toBeCloseTo(79.0 + added, 0);
  });

  test("of a half Moon is 2.6 magnitudes less: 0.026 × 90 + 4 × 10⁻⁹ × 90⁴", () => {
    const added = (phaseAngleDegrees: number): number =>
      nanolambertsOf(skyMagnitude({ ...zenith, moon: { ...fullMoon, phaseAngleDegrees } })) - 79.0;
    expect(2.5 * Math.log10(added(0) / added(90))).toBeCloseTo(2.34 + 0.262, 1);
  });

  test("within 10° of the Moon grows as the inverse square of the distance", () => {
    const light = (separationDegrees: number): number =>
      nanolambertsOf(
        skyMagnitude({ ...site, altitudeDegrees: 45, moon: { ...fullMoon, separationDegrees } }),
      );
    // Mie part 6.2 × 10⁷ / ρ², over the same Rayleigh part and dark sky: a ratio of differences.
    const rayleigh = (degrees: number): number =>
      10 ** 5.36 * (1.06 + Math.cos((degrees * Math.PI) / 180) ** 2);
    const inner = 6.2e7 / 4 + rayleigh(2);
    const outer = 10 ** (6.15 - 0.5) + rayleigh(20);
    const background = nanolambertsOf(skyMagnitude({ ...site, altitudeDegrees: 45, moon: null }));
    expect((light(2) - background) / (light(20) - background) / (inner / outer)).toBeCloseTo(1, 6);
  });

  test("counts for nothing below the horizon", () => {
    const moon = { ...fullMoon, altitudeDegrees: -1 };
    expect(skyMagnitude({ ...zenith, moon })).toBeCloseTo(21.587, 9);
  });

  test("never darkens the sky, and grows with the Moon's phase and nearness", () => {
    const angle = (max: number) => fc.double({ min: 0, max, noNaN: true });
    fc.assert(
      fc.property(angle(90), angle(170), angle(90), angle(170), (altitude, phase, moonAltitude, away) => {
        const sky = (moon: typeof fullMoon | null): number =>
          skyMagnitude({ ...site, altitudeDegrees: altitude, moon });
        const moon = { phaseAngleDegrees: phase, altitudeDegrees: moonAltitude, separationDegrees: away };
        expect(sky(moon)).toBeLessThanOrEqual(sky(null));
        expect(sky({ ...moon, phaseAngleDegrees: phase + 10 })).toBeGreaterThanOrEqual(sky(moon));
        if (away < 80)
          expect(sky({ ...moon, separationDegrees: away + 10 })).toBeGreaterThanOrEqual(sky(moon));
      }),
    );
  });
});
