/** Airmass and refraction against the published formula and tables. */
import fc from "fast-check";
import { describe, expect, test } from "vitest";
import {
  airmassAtApparent,
  airmassAtTrue,
  apparentAltitude,
  refractionDegrees,
} from "../../src/sky/airmass.js";

/** The formula written out once more: Kasten & Young 1989, Applied Optics 28, 4735, equation 3. */
function kastenYoung(degrees: number): number {
  return 1 / (Math.sin((degrees * Math.PI) / 180) + 0.50572 * (degrees + 6.07995) ** -1.6364);
}

/** Their table, of which the formula is a fit good to 0.5 %: apparent altitude and airmass. From memory. */
const TABLE = [
  [0, 38.0868],
  [1, 26.2595],
  [5, 10.3164],
  [10, 5.5841],
  [20, 2.9016],
  [30, 1.9927],
  [60, 1.1539],
  [90, 1.0],
] as const;

describe("airmass", () => {
  test("is exactly the formula of Kasten & Young 1989 at an apparent altitude", () => {
    for (let degrees = 0; degrees <= 90; degrees += 0.5)
      expect(airmassAtApparent(degrees)).toBeCloseTo(kastenYoung(degrees), 12);
  });

  test("agrees with the table of Kasten & Young 1989 within the 0.5 % that they state", () => {
    for (const [degrees, airmass] of TABLE)
      expect(Math.abs(airmassAtApparent(degrees) / airmass - 1), `${degrees}°`).toBeLessThan(0.005);
  });

  test("from a true altitude takes refraction into account: 0.2 % less at 20°, 5 % less at 3°", () => {
    expect(1 - airmassAtTrue(20) / kastenYoung(20)).toBeCloseTo(0.002, 3);
    expect(1 - airmassAtTrue(3) / kastenYoung(3)).toBeGreaterThan(0.04);
  });

  test("is without end below the horizon", () => {
    expect(airmassAtApparent(-5)).toBe(Number.POSITIVE_INFINITY);
  });

  test("falls all the way up from the horizon", () => {
    fc.assert(
      fc.property(fc.double({ min: 0, max: 90, noNaN: true }), (degrees) => {
        expect(airmassAtTrue(degrees)).toBeGreaterThanOrEqual(airmassAtTrue(Math.min(90, degrees + 0.1)));
      }),
    );
  });
});

describe("refraction", () => {
  test("follows Sæmundsson's formula: 29′ for something truly on the horizon, 1′ at 45°", () => {
    // Meeus, Astronomical Algorithms, (16.4): R = 1.02 / tan(h + 10.3 / (h + 5.11)), arc minutes.
    for (const [degrees, argument] of [
      [0, 10.3 / 5.11],
      [10, 10 + 10.3 / 15.11],
      [45, 45 + 10.3 / 50.11],
    ] as const) {
      const arcminutes = 1.02 / Math.tan((argument * Math.PI) / 180);
      expect(refractionDegrees(degrees) * 60).toBeCloseTo(arcminutes, 2);
    }
  });

  test("agrees with example 16.a of Meeus: the setting Sun's limbs, truly at 1.246′ and 33.20′, show at 30′ and 57.864′", () => {
    // Figures from memory. The book goes from apparent to true with another formula, equal within 0.1′ or so.
    expect(Math.abs(apparentAltitude(1.246 / 60) * 60 - 30)).toBeLessThan(0.15);
    expect(Math.abs(apparentAltitude(33.2 / 60) * 60 - 57.864)).toBeLessThan(0.15);
  });

  test("vanishes at the zenith and never turns the order of altitudes around", () => {
    expect(Math.abs(refractionDegrees(90))).toBeLessThan(1e-5);
    fc.assert(
      fc.property(fc.double({ min: -90, max: 89.99, noNaN: true }), (degrees) => {
        expect(apparentAltitude(degrees + 0.01)).toBeGreaterThan(apparentAltitude(degrees));
      }),
    );
  });
});
