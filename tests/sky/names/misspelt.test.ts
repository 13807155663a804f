/** A hundred misspellings, as fingers slip on a phone and as ears hear: the first suggestion is what was meant. */
import { expect, it } from "vitest";
import { loadCatalogue } from "../../../src/sky/load-catalogue.js";
import { consonantsOf, slips, soundOf } from "../../../src/sky/names/slips.js";

const catalogue = loadCatalogue();

const MEANT: Readonly<Record<string, string>> = {
  Vega: "Vgea|Vegga",
  Rigel: "Rigle",
  saturn: "Strun|sattern|satrun",
  jupiter: "jupitor|jupter|joopiter",
  mars: "marz|mrs|marss",
  venus: "venis|vennus",
  uranus: "uranis|urnaus",
  neptune: "neptoon|neptun",
  mercury: "mercery|mecury",
  moon: "mooon|moom|the mon",
  M1: "crab nebla|carb nebula",
  M6: "butterfly custer",
  M7: "ptolomy cluster|tolemy",
  M8: "lagon nebula|lagoone|laggon",
  M11: "wild duk",
  M13: "hercules custer|herculese cluster|hurcules|hercles cluster",
  M16: "eagel nebula|eagle nebual",
  M17: "omega nebla|swann nebula",
  M20: "trifid nebla|triffid|triphid",
  M27: "dumbel|dumbbel|dumbell|dumble",
  M31: "andromada|andromida galaxy|adromeda|androemda|andromda galxy",
  M42: "oroin nebula|orion nebla|orien nebula",
  M44: "beehve|bee hiv|beehiv cluster",
  M45: "pleides|pliades|plyades|plieades|seven sister|seven sistres",
  M51: "whirpool|wirlpool|whrilpool galaxy|whirlpoool",
  M57: "rign nebula|rng nebula",
  M63: "sunflwoer galaxy",
  M64: "blakc eye",
  M81: "boeds galaxy|bodies galaxy",
  M82: "siggar galaxy|ciger galaxy",
  M97: "owl nebla",
  M101: "pinwheal galaxy|pinweel",
  M104: "sombraro|sombero|sombrerro galaxy",
  Sirius: "syrius|sirious|serius|siruis",
  Arcturus: "arctures|arcturas|arturus",
  Altair: "altare|altiar",
  Deneb: "denab|dneeb|denebb",
  Capella: "capela|cappella",
  Pollux: "polux",
  Castor: "caster|castro",
  Aldebaran: "aldebran|aldabaran",
  Antares: "antaris|anteres",
  Spica: "spika|spcia",
  Regulus: "regulas|reguls",
  Fomalhaut: "formalhaut|fomalhot",
  Albireo: "alberio|albirio",
  Polaris: "poleris|polarus",
  Mizar: "mizer|mizra",
  Algol: "algole|alogl",
  Mira: "mria",
  Betelgeuse: "beetlejuice|beetle juice|beatlejuice",
  NGC7000: "north amercia nebula|north america nebla",
  NGC7293: "helix nebla|heelix nebula",
  NGC2392: "eskimo nebla",
  NGC6543: "cats eye nebla|cat eye nebula",
};
const pairs = Object.entries(MEANT).flatMap(([id, typed]) =>
  typed.split("|").map((each) => [each, id] as const),
);

it.each(pairs)("%s is taken for %s", (typed, id) => {
  const looked = catalogue.lookUp(typed);
  const first = looked.found ?? ("suggestions" in looked ? looked.suggestions[0] : undefined);
  expect(first?.id).toBe(id);
});

it("they are a hundred and more", () => expect(pairs.length).toBeGreaterThanOrEqual(100));

it.each(["NGC 99999", "M1313", "lol", "asdf", "hello", "milky road"])("%s is like nothing", (typed) =>
  expect(catalogue.lookUp(typed)).toEqual({ found: null, suggestions: [] }),
);

it("numbers beyond a catalogue's end suggest those with one digit otherwise", () => {
  const looked = catalogue.lookUp("M 113");
  expect("suggestions" in looked && looked.suggestions.map(({ id }) => id)).toEqual([
    "M110",
    "M103",
    "M13",
    "M11",
  ]);
});

it("a swap of neighbours is one slip, as are a letter more, less or other", () => {
  expect([
    slips("vgea", "vega"),
    slips("veg", "vega"),
    slips("vegga", "vega"),
    slips("vema", "vega"),
  ]).toEqual([1, 1, 1, 1]);
  expect(slips("strun", "saturn")).toBe(2);
  expect(slips("", "mars")).toBe(4);
});

it("words that sound alike have one sound, or at least its consonants", () => {
  expect(consonantsOf(soundOf("beetlejuice"))).toBe(consonantsOf(soundOf("betelgeuse")));
  expect(soundOf("triphid")).toBe(soundOf("trifid"));
  expect(consonantsOf(soundOf("strun"))).toBe(consonantsOf(soundOf("saturn")));
});
