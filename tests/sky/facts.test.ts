/** Typed facts: of targets that the catalogue has, within what is possible, and against places and dates known otherwise. */
import { describe, expect, test } from "vitest";
import { DAY } from "../../src/base/units.js";
import { pairOf } from "../../src/sky/facts/pairs.js";
import { nextTransit, transitingPlanetOf } from "../../src/sky/facts/transits.js";
import { nextEpoch, variableOf } from "../../src/sky/facts/variables.js";
import { loadCatalogue } from "../../src/sky/load-catalogue.js";
import { loadStars } from "../../src/sky/load-stars.js";
import type { FixedTarget } from "../../src/sky/target.js";
import { separationArcminutes } from "../../src/tools/catalogue/disagreements.js";
import { rowsOf } from "../../src/tools/catalogue/objects.js";
import { typedTargets } from "../../src/tools/catalogue/typed-targets.js";

const catalogue = loadCatalogue();
const now = Date.UTC(2026, 10, 28);
const typed = rowsOf(typedTargets).map(([id]) => catalogue.byId(id as string) as FixedTarget);

test.each([
  ["SS Cyg", "SSCygni"],
  ["3C 273", "3C273"],
  ["Cyg X-1", "CygnusX1"],
  ["cas a", "CassiopeiaA"],
  ["HD 189733 b", "HD189733"],
  ["tres-3", "TrES3"],
  ["RZ Cas", "RZCassiopeiae"],
])("%s is found", (name, id) => {
  expect(catalogue.lookUp(name).found?.id).toBe(id);
});

test("typed stars as bright as the star lists stand where Hipparcos and Tycho-2 have them", () => {
  const stars = loadStars();
  const bright = typed.filter((each) => /star$/.test(each.type) && (each.magnitude ?? 99) < 9);
  expect(bright.length).toBeGreaterThanOrEqual(7);
  for (const star of bright) {
    const near = stars.near(star.raDegrees, star.decDegrees, 0.05);
    const apart = Math.min(...near.map((each) => separationArcminutes(each, star)));
    expect({ id: star.id, apart: apart < 0.2 }).toEqual({ id: star.id, apart: true });
  }
});

test("facts are told of targets that are there", () => {
  const known = (table: (id: string) => unknown) =>
    catalogue.targets.filter(({ id }) => table(id) !== null).length;
  expect(known(variableOf)).toBe(25);
  expect(known(pairOf)).toBe(54);
  expect(known(transitingPlanetOf)).toBe(10);
});

describe("times told ahead", () => {
  test("come after the instant, within a period", () => {
    for (const { id } of catalogue.targets) {
      const variable = variableOf(id);
      const next = variable && nextEpoch(variable, now);
      if (!variable || next === null) continue;
      expect(next).toBeGreaterThanOrEqual(now);
      expect(next - now).toBeLessThanOrEqual((variable.periodDays as number) * DAY);
    }
  });

  test("count a transit as next while it lasts", () => {
    const planet = transitingPlanetOf("HD189733")!;
    const middle = nextTransit(planet, now)!;
    expect(nextTransit(planet, middle + planet.lastsMs / 2 - 1)).toBeCloseTo(middle, -1);
    expect(nextTransit(planet, middle + planet.lastsMs / 2 + 1)).toBeGreaterThan(middle);
    expect(nextTransit(transitingPlanetOf("WASP12")!, now)).toBeNull();
  });

  test("reach back to the published epoch", () => {
    // Delta Cephei's maximum: JD 2436075.445 is 1957 August 24, 22:41 UT.
    const delta = variableOf("DeltaCephei")!;
    expect(nextEpoch(delta, Date.UTC(1957, 7, 24))).toBeCloseTo(Date.UTC(1957, 7, 24, 22, 40, 48), -4);
    expect(nextEpoch(variableOf("Mira")!, now)).toBeNull();
  });
});
