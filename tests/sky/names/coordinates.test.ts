/** Positions in every common form, and what is said of those that can't be. */
import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { loadCatalogue } from "../../../src/sky/load-catalogue.js";
import type { FixedTarget } from "../../../src/sky/target.js";

const catalogue = loadCatalogue();
const turnBetween = (a: number, b: number) => Math.abs(((a - b + 540) % 360) - 180);
const positionOf = (text: string) => catalogue.lookUp(text).found as FixedTarget;

describe("a position", () => {
  it.each([
    "05 35 17 -05 23 28",
    "05:35:17 -05:23:28",
    "05h35m17s -05d23m28s",
    "05h 35m 17s −05° 23′ 28″",
    "5h35m17s, -5°23'28\"",
    "RA 05 35 17 Dec -05 23 28",
    "05h35m17s-05d23m28s",
    "05 35 17/-05 23 28",
    "(05 35 17, –05 23 28)",
    "J2000 5:35:17 -5:23:28",
    "05 35 17 - 05 23 28",
    "J053517-052328",
    "j053517−052328",
  ])("%s is read", (text) => {
    expect(positionOf(text)).toMatchObject({ id: "J053517-052328", type: "position", magnitude: null });
    expect(positionOf(text).raDegrees).toBeCloseTo(83.820833, 5);
    expect(positionOf(text).decDegrees).toBeCloseTo(-5.391111, 5);
  });

  it.each([
    ["83.82 -5.39", 83.82, -5.39],
    ["83.82°, -5.39°", 83.82, -5.39],
    ["83.82,+5.39", 83.82, 5.39],
    ["83,82 -5,39", 83.82, -5.39],
    ["5.588h -5.39", 83.82, -5.39],
    ["05 35 -05 23", 83.75, -5.383333],
    ["05:35.3 -05:23.5", 83.825, -5.391667],
    ["05 35 17 05 23 28", 83.820833, 5.391111],
    ["0 35 17 -00 23 28", 8.820833, -0.391111],
    ["359.99999 89.99999", 359.99999, 89.99999],
    ["0 0", 0, 0],
  ])("%s is %d°, %d°", (text, raDegrees, decDegrees) => {
    expect(turnBetween(positionOf(text).raDegrees, raDegrees)).toBeLessThan(0.0002);
    expect(Math.abs(positionOf(text).decDegrees - decDegrees)).toBeLessThan(0.0002);
  });

  it("comes back from its id just as it was", () => {
    fc.assert(
      fc.property(
        fc.double({ min: 0, max: 359.9999, noNaN: true }),
        fc.double({ min: -90, max: 90, noNaN: true }),
        (raDegrees, decDegrees) => {
          const target = positionOf(`${raDegrees.toFixed(6)} ${decDegrees.toFixed(6)}`);
          expect(catalogue.byId(target.id)).toEqual(target);
          expect(positionOf(target.id)).toEqual(target);
          expect(turnBetween(target.raDegrees, raDegrees) * 3600).toBeLessThan(0.8);
          expect(Math.abs(target.decDegrees - decDegrees) * 3600).toBeLessThan(0.06);
        },
      ),
    );
  });
});

describe("what can't be a position", () => {
  it.each([
    ["25 00 00 +10 00 00", /right ascension/i],
    ["400 10", /right ascension/i],
    ["-10 20", /right ascension/i],
    ["05 35 17 -95 23 28", /declination/i],
    ["83.82 -95", /declination/i],
    ["05 75 17 -05 23 28", /0 to 59/],
    ["05 35 17 -05 23 61", /0 to 59/],
    ["12 34 56", /where the declination begins/],
    ["05 35 17 -05 23 28 11", /05 35 17 -05 23 28 11/],
  ])("%s is refused with a sentence and an example", (text, pattern) => {
    const looked = catalogue.lookUp(text);
    expect(looked).toMatchObject({ found: null, refused: "bad-coordinates" });
    const sentence = "sentence" in looked ? looked.sentence : "";
    expect(sentence).toMatch(pattern);
    expect(sentence).toContain("83.82 -5.39");
  });

  it.each(["J995517-052328", "J053517-992328", "J053599-052328", "J05351-05232"])("%s is no id", (id) => {
    expect(catalogue.byId(id)).toBeNull();
  });
});
