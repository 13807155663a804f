/** A near miss is answered with what was probably meant; completion puts the likeliest first. */
import { describe, expect, it } from "vitest";
import { loadCatalogue } from "../../../src/sky/load-catalogue.js";

const catalogue = loadCatalogue();
function suggested(text: string): string[] {
  const looked = catalogue.lookUp(text);
  if (looked.found || !("suggestions" in looked)) throw new Error(`${text} was not a near miss`);
  return looked.suggestions.map((target) => target.id);
}
const begun = (text: string, limit = 5) => catalogue.startingWith(text, limit).map(({ target }) => target.id);

describe("suggestions", () => {
  it.each([
    ["Andromida", "M31"],
    ["Vegga", "Vega"],
    ["betelguese", "Betelgeuse"],
    ["plieades", "M45"],
    ["Sombraro galaxy", "M104"],
    ["dumbell", "M27"],
    ["jupitr", "jupiter"],
    ["M 113", "M110"],
    ["M111", "M110"],
    ["NGC 7001", "NGC7000"],
    ["13", "M13"],
    ["M13 in Orion", "M13"],
  ])("%s suggests %s first", (text, id) => expect(suggested(text)[0]).toBe(id));

  it("answers a Caldwell number beyond 109 with Caldwell objects", () => {
    const near = suggested("Caldwell 110").map((id) => catalogue.byId(id));
    const caldwell = Array.from({ length: 109 }, (_, index) => catalogue.lookUp(`C${index + 1}`).found);
    expect(near).toHaveLength(4);
    expect(near.every((target) => caldwell.includes(target))).toBe(true);
  });

  it("offers at most five, all different, and an unlisted NGC number gets its neighbours", () => {
    const near = suggested("NGC 1");
    expect(near).toHaveLength(5);
    expect(new Set(near).size).toBe(5);
  });

  it("takes the bare name of a catalogue for the beginning of a number", () => {
    expect(suggested("M")).toEqual(["M1", "M2", "M3", "M4", "M5"]);
    expect(suggested("C")).toHaveLength(5);
  });

  it("suggests nothing for what is like nothing", () => expect(suggested("qqxzzqw")).toEqual([]));
});

describe("completion", () => {
  it("puts the exact designation before longer ones", () =>
    expect(begun("m1", 3)).toEqual(["M1", "M10", "M11"]));
  it("puts what starts so before what only contains it", () => {
    const ids = begun("ring", 8);
    expect(ids[0]).toBe("M57");
    expect(ids.indexOf("NGC6894")).toBeGreaterThan(0);
  });
  it("finds a word within a name", () => expect(begun("whirl")).toEqual(["M51"]));
  it("knows designations as well as names", () => expect(begun("ngc 700")).toContain("NGC7000"));
  it("keeps to the limit and answers nothing typed with something", () => {
    expect(begun("n", 7)).toHaveLength(7);
    expect(begun("", 25)).toHaveLength(25);
    expect(begun("zzzz")).toEqual([]);
  });
});
