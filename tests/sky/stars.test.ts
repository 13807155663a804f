/** The star lists for simulated frames. */
import { describe, expect, it } from "vitest";
import { loadCatalogue } from "../../src/sky/load-catalogue.js";
import { type ListedStar, loadStars } from "../../src/sky/load-stars.js";
import { separationArcminutes } from "../../src/tools/catalogue/disagreements.js";

const stars = loadStars();

describe("the star list", () => {
  // ICRS positions at epoch J2000 and V magnitudes from memory of the Hipparcos Catalogue.
  it.each([
    ["Sirius", 101.28715, -16.71611, -1.44],
    ["Vega", 279.23473, 38.78369, 0.03],
    ["Polaris", 37.95456, 89.26411, 1.97],
    ["Barnard's Star", 269.45208, 4.69339, 9.54],
  ])("has %s where it was in 2000, within 1″", (_, raDegrees, decDegrees, magnitude) => {
    const [star] = stars.near(raDegrees, decDegrees, 1 / 3600);
    expect(star?.magnitude).toBeCloseTo(magnitude, 1);
  });

  it("has the bright Pleiades, brightest first", () => {
    const pleiades = stars.near(56.75, 24.117, 1);
    expect(pleiades[0]?.magnitude).toBeCloseTo(2.85, 2);
    const magnitudes = pleiades.map((star) => star.magnitude);
    expect(magnitudes).toEqual([...magnitudes].sort((a, b) => a - b));
  });

  it("has nothing outside the radius, across 0h and around the poles too", () => {
    const places = [
      { raDegrees: 0.01, decDegrees: 10 },
      { raDegrees: 359.99, decDegrees: -35 },
      { raDegrees: 120, decDegrees: 89.95 },
      { raDegrees: 200, decDegrees: -89.9 },
    ];
    for (const place of places) {
      const near = stars.near(place.raDegrees, place.decDegrees, 1.5);
      expect(near.length).toBeGreaterThan(5);
      expect(Math.max(...near.map((star) => separationArcminutes(star, place)))).toBeLessThanOrEqual(90.001);
    }
    const across = stars.near(0, 10, 1);
    expect(across.some((star) => star.raDegrees < 1) && across.some((star) => star.raDegrees > 359)).toBe(
      true,
    );
    expect(stars.near(0, 90, 2).length).toBe(stars.near(180, 90, 2).length);
  });

  it("has real stars in the telescope's field for nearly every catalogued target", () => {
    const fixed = loadCatalogue().targets.filter((target) => target.kind === "fixed");
    const counts = fixed.map((target) => stars.near(target.raDegrees, target.decDegrees, 0.22).length);
    expect(counts.filter((count) => count >= 2).length / counts.length).toBeGreaterThan(0.9);
  });

  it.each([
    ["the Pleiades", 56.75, 24.117],
    ["M13", 250.42, 36.46],
    ["the Orion Nebula", 83.82, -5.39],
  ])("has no star twice around %s", (_, raDegrees, decDegrees) => {
    const near = stars.near(raDegrees, decDegrees, 0.5);
    const isTwin = (a: ListedStar, b: ListedStar) =>
      a !== b && Math.abs(a.magnitude - b.magnitude) < 0.2 && separationArcminutes(a, b) < 1 / 60;
    expect(near.filter((star) => near.some((other) => isTwin(star, other)))).toEqual([]);
  });

  it("says how deep it goes: deeper around targets than between them", () => {
    const galaxy = loadCatalogue().byId("M51");
    expect(galaxy?.kind === "fixed" && stars.completeTo(galaxy.raDegrees, galaxy.decDegrees)).toBeGreaterThan(
      10,
    );
    expect(stars.completeTo(150, 60)).toBe(stars.completeToMagnitude);
  });
});
