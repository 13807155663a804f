/** What the catalogue holds: the lists in full, a mix of natures, stars worth a lesson. */
import { describe, expect, it } from "vitest";
import { loadCatalogue } from "../../src/sky/load-catalogue.js";
import type { FixedTarget } from "../../src/sky/target.js";

const catalogue = loadCatalogue();
const fixed = catalogue.targets.filter((target): target is FixedTarget => target.kind === "fixed");
const stars = fixed.filter((target) => ["star", "double star", "variable star"].includes(target.type));
const found = (text: string) => {
  const looked = catalogue.lookUp(text);
  if (!looked.found) throw new Error(`nothing called ${text}`);
  return looked.found as FixedTarget;
};

describe("the catalogue", () => {
  it("finds each of the 110 Messier and 109 Caldwell objects by number", () => {
    for (let number = 1; number <= 110; number++) expect(found(`M ${number}`).id).toBe(`M${number}`);
    const caldwell = Array.from({ length: 109 }, (_, index) => found(`Caldwell ${index + 1}`));
    expect(new Set(caldwell).size).toBe(109);
    expect(caldwell.some((target) => target.id.startsWith("M"))).toBe(false);
  });

  it("has at least 300 NGC and IC objects beyond those", () => {
    const listed = new Set([
      ...Array.from({ length: 110 }, (_, index) => found(`M${index + 1}`)),
      ...Array.from({ length: 109 }, (_, index) => found(`C${index + 1}`)),
    ]);
    expect(
      fixed.filter((target) => /^(NGC|IC)\d+$/.test(target.id) && !listed.has(target)).length,
    ).toBeGreaterThan(300);
  });

  it("has at least 60 stars with proper names, and dozens of doubles and variables", () => {
    expect(stars.filter((star) => /^[A-Z][a-z]+$/.test(star.name)).length).toBeGreaterThan(60);
    expect(stars.filter((star) => star.type === "double star").length).toBeGreaterThan(40);
    expect(stars.filter((star) => star.type === "variable star").length).toBeGreaterThan(20);
  });

  it("has the Moon, seven planets and Pluto, and neither the Sun nor the Earth", () => {
    const bodies = catalogue.targets.filter((target) => target.kind === "body").map((target) => target.id);
    expect(bodies.sort()).toEqual([
      "jupiter",
      "mars",
      "mercury",
      "moon",
      "neptune",
      "pluto",
      "saturn",
      "uranus",
      "venus",
    ]);
  });

  it("gives every target an id of its own without spaces, a place on the sky and a sound magnitude", () => {
    expect(new Set(catalogue.targets.map((target) => target.id)).size).toBe(catalogue.targets.length);
    for (const target of fixed) {
      expect(target.id).toMatch(/^[A-Za-z0-9]+$/);
      expect(target.raDegrees >= 0 && target.raDegrees < 360).toBe(true);
      expect(Math.abs(target.decDegrees)).toBeLessThanOrEqual(90);
      if (target.magnitude !== null) expect(target.magnitude > -2 && target.magnitude < 17).toBe(true);
      expect(catalogue.byId(target.id)).toBe(target);
    }
  });

  it("keeps its targets in the same order each time", () => {
    expect(loadCatalogue().targets.map((target) => target.id)).toEqual(
      catalogue.targets.map((target) => target.id),
    );
  });
});

describe("the odd ones", () => {
  it.each([
    ["M40", "double star", "M40"],
    ["M73", "asterism", "M73"],
    ["M24", "asterism", "M24"],
    ["M45", "open cluster", "M45"],
    ["Caldwell 41", "open cluster", "C41"],
    ["Caldwell 99", "dark nebula", "C99"],
    ["Caldwell 9", "emission nebula", "C9"],
    ["Caldwell 31", "emission nebula", "IC405"],
    ["Caldwell 14", "open cluster", "C14"],
    ["M1", "supernova remnant", "M1"],
  ])("%s is a %s", (text, type, id) => {
    expect(found(text)).toMatchObject({ type, id });
  });

  it("takes M102 for NGC 5866 and says so in its name", () => {
    expect(found("NGC 5866").id).toBe("M102");
    expect(found("M102").name).toContain("NGC 5866");
  });

  // Positions from memory of standard lists, to an arc minute.
  it.each([
    ["M87", 187.706, 12.391],
    ["M98", 183.451, 14.9],
    ["M52", 351.2, 61.59],
    ["NGC 4565", 189.087, 25.988],
    ["M13", 250.423, 36.461],
    ["Vega", 279.234, 38.784],
  ])("%s stands where it should", (text, raDegrees, decDegrees) => {
    expect(found(text).raDegrees).toBeCloseTo(raDegrees, 1.5);
    expect(found(text).decDegrees).toBeCloseTo(decDegrees, 1.5);
  });
});
