/** Every way a person may write a name. */
import { describe, expect, it } from "vitest";
import { loadCatalogue } from "../../../src/sky/load-catalogue.js";

const catalogue = loadCatalogue();
const idOf = (text: string) => catalogue.lookUp(text).found?.id ?? null;

describe("designations", () => {
  it.each([
    ["m 13", "M13"],
    ["M13", "M13"],
    ["messier 13", "M13"],
    ["Messier-013", "M13"],
    ["MESSIER OBJECT 13", "M13"],
    ["NGC6205", "M13"],
    ["ngc 7000", "NGC7000"],
    ["NGC7000", "NGC7000"],
    ["N.G.C. 7000", "NGC7000"],
    ["Caldwell 20", "NGC7000"],
    ["ngc  0045", "NGC45"],
    ["ic434", "IC434"],
    ["IC 0434", "IC434"],
    ["c14", "C14"],
    ["Caldwell 14", "C14"],
    ["C 014", "C14"],
    ["Sh2-155", "C9"],
    ["Sharpless 2-155", "C9"],
    ["Melotte 25", "C41"],
    ["Barnard 33", "B33"],
    ["ngc 650", "M76"],
    ["NGC 651", "M76"],
    ["IC 4725", "M25"],
    ["NGC 869", "NGC869"],
    ["HIP 91262", "Vega"],
    ["  m31  ", "M31"],
  ])("%s is %s", (text, id) => expect(idOf(text)).toBe(id));
});

describe("stars", () => {
  it.each([
    ["vega", "Vega"],
    ["alpha lyrae", "Vega"],
    ["α Lyr", "Vega"],
    ["Alpha Lyra", "Vega"],
    ["alf lyr", "Vega"],
    ["beta cyg", "Albireo"],
    ["β¹ Cygni", "Albireo"],
    ["beta-1 Cygni", "Albireo"],
    ["alpha CMa", "Sirius"],
    ["Alpha Canis Majoris", "Sirius"],
    ["δ Cephei", "DeltaCephei"],
    ["μ Cep", "MuCephei"],
    ["µ Cep", "MuCephei"],
    ["omicron ceti", "Mira"],
    ["61 cyg", "61Cygni"],
    ["61 Cygni", "61Cygni"],
    ["rr lyr", "RRLyrae"],
    ["R Leonis", "RLeonis"],
    ["T CrB", "TCoronaeBorealis"],
    ["Barnard’s Star", "BarnardsStar"],
    ["barnards star", "BarnardsStar"],
    ["alpha centauri", "RigilKentaurus"],
    ["Double Double", "EpsilonLyrae"],
    ["Bételgeuse", "Betelgeuse"],
  ])("%s is %s", (text, id) => expect(idOf(text)).toBe(id));
});

describe("common names, the Moon and planets", () => {
  it.each([
    ["Ring Nebula", "M57"],
    ["the ring nebula", "M57"],
    ["ring", "M57"],
    ["The Great Andromeda Nebula", "M31"],
    ["cat’s eye", "NGC6543"],
    ["Cats-Eye Nebula", "NGC6543"],
    ["catseye", "NGC6543"],
    ["omega centauri", "NGC5139"],
    ["47 Tuc", "NGC104"],
    ["χ Per", "NGC884"],
    ["double cluster", "C14"],
    ["sunflower galaxy", "M63"],
    ["sunflower", "M63"],
    ["saturn nebula", "NGC7009"],
    ["Saturn", "saturn"],
    ["planet mars", "mars"],
    ["the moon", "moon"],
    ["JUPITER", "jupiter"],
    ["30 Doradus", "NGC2070"],
    ["Eta Carinae Nebula", "NGC3372"],
    ["pinwheel", "M101"],
    ["NGC 7000 North America Nebula", "NGC7000"],
  ])("%s is %s", (text, id) => expect(idOf(text)).toBe(id));

  it("finds every target by its own id and by its displayed name", () => {
    for (const target of catalogue.targets) {
      expect(idOf(target.id)).toBe(target.id);
      expect(idOf(target.name)).toBe(target.id);
      expect(idOf(target.name.replace(/ \(.*\)$/, ""))).toBe(target.id);
    }
  });
});

describe("the Sun", () => {
  it.each(["sun", "The Sun", "SUN", "sol", "our sun", "☉", "sunspots", "solar disc", "s\u200bun"])(
    "%s is refused with a caution",
    (text) => {
      const looked = catalogue.lookUp(text);
      expect(looked).toMatchObject({ found: null, refused: "sun" });
      expect("sentence" in looked && looked.sentence).toMatch(/never look at the Sun/);
    },
  );
});
