/** Text meant to break things is looked up like any other: quickly, and without harm. */
import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { loadCatalogue } from "../../../src/sky/load-catalogue.js";

const catalogue = loadCatalogue();

describe("hostile text", () => {
  it.each([
    ["ten thousand letters", "a".repeat(10_000)],
    ["ten thousand digits", "1".repeat(10_000)],
    ["ten thousand numbers", "1 ".repeat(5_000)],
    ["ten thousand signs", "1+-".repeat(3_500)],
    ["ten thousand units", "1h".repeat(5_000)],
    ["a name with a long tail", `M13${" ".repeat(9_000)}x`],
    ["ten thousand combining marks", `M13${"\u0301".repeat(10_000)}`],
  ])("%s finds nothing and suggests nothing", (_, text) => {
    expect(catalogue.lookUp(text)).toEqual({ found: null, suggestions: [] });
    expect(() => catalogue.startingWith(text, 25)).not.toThrow();
  });

  it.each(["__proto__", "constructor", "toString", "hasOwnProperty", "valueOf"])(
    "%s is no target",
    (text) => {
      expect(catalogue.lookUp(text)).toMatchObject({ found: null });
      expect(catalogue.byId(text)).toBeNull();
    },
  );

  it.each(["", "   ", "\u0000\u0007", "\u202e\u200f", "—", "…"])("%j asks for a target", (text) => {
    expect(catalogue.lookUp(text)).toMatchObject({ found: null, refused: "empty" });
  });

  it("looks through direction marks, control characters and full-width letters", () => {
    expect(catalogue.lookUp("\u202eM\u200f 13\u0000").found?.id).toBe("M13");
    expect(catalogue.lookUp("Ｍ１３").found?.id).toBe("M13");
  });

  it("takes no notice of spaces around a name, however many", () => {
    expect(catalogue.lookUp(`${" ".repeat(5_000)}M13${" ".repeat(5_000)}`).found?.id).toBe("M13");
  });

  it("answers anything at all with one of the promised answers", () => {
    fc.assert(
      fc.property(fc.string({ unit: "binary", maxLength: 400 }), (text) => {
        const looked = catalogue.lookUp(text);
        const answers = [looked.found !== null, "suggestions" in looked, "refused" in looked];
        expect(answers.filter(Boolean)).toHaveLength(1);
        expect(catalogue.startingWith(text, 25).length).toBeLessThanOrEqual(25);
      }),
      { numRuns: 300 },
    );
  });
});
