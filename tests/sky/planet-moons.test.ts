/** Places of the great moons, against events that were seen. */
import { Body, GeoVector } from "astronomy-engine";
import { expect, test } from "vitest";
import { DEGREES_PER_RADIAN } from "../../src/base/units.js";
import { timeOf } from "../../src/sky/ephemeris.js";
import { loadCatalogue } from "../../src/sky/load-catalogue.js";
import { moonsOf } from "../../src/sky/planet-moons.js";
import { sexagesimal } from "./things.js";

test("Titan passed before the star 28 Sagittarii on 1989 July 3, 22h 41m UT (Hubbard et al. 1990, Nature 343, 353; time from memory)", () => {
  const unixMs = Date.UTC(1989, 6, 3, 22, 41);
  const saturn = GeoVector(Body.Saturn, timeOf(unixMs), false);
  const ra = (Math.atan2(saturn.y, saturn.x) * DEGREES_PER_RADIAN + 360) % 360;
  const dec = Math.asin(saturn.z / saturn.Length()) * DEGREES_PER_RADIAN;
  // The star's place: Hipparcos Catalogue.
  const star = { ra: sexagesimal(18, 46, 20.61) * 15, dec: -sexagesimal(22, 23, 31.8) };
  const east = (star.ra - ra) * Math.cos(dec / DEGREES_PER_RADIAN) * 3600;
  const [titan] = moonsOf("Saturn", unixMs);
  expect(Math.abs((titan?.eastArcseconds ?? 0) - east)).toBeLessThan(6);
  expect(Math.abs((titan?.northArcseconds ?? 0) - (star.dec - dec) * 3600)).toBeLessThan(6);
});

test("Jupiter's moons keep to their orbits: none further than Callisto's 26.3 radii, all near one line", () => {
  for (let day = 0; day < 40; day++) {
    const moons = moonsOf("Jupiter", Date.UTC(2026, 10, 1 + day));
    expect(moons.map(({ name }) => name)).toEqual(["Io", "Europa", "Ganymede", "Callisto"]);
    // The radius is 20 to 24″ in these weeks.
    for (const { eastArcseconds, northArcseconds } of moons)
      expect(Math.hypot(eastArcseconds, northArcseconds)).toBeLessThan(24 * 26.6);
  }
  expect(moonsOf("Mars", 0)).toEqual([]);
});

const catalogue = loadCatalogue();
test.each([
  ["Io", /too near Jupiter's glare/],
  ["Jupiter's moon Europa", /too near Jupiter's glare/],
  ["Titan", /too near Saturn's glare/],
  ["the ISS", /crosses the field in half a second/],
  ["Sagittarius A*", /no visible light come through/],
  ["Galactic Center", /no visible light come through/],
])("%s is said as what it is", (typed, sentence) => {
  expect(catalogue.lookUp(typed)).toMatchObject({ found: null, refused: "no-target" });
  expect((catalogue.lookUp(typed) as { sentence: string }).sentence).toMatch(sentence);
});
