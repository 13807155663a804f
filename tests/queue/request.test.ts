/** When one frame would serve two people. */
import { expect, it } from "vitest";
import { sameFrame, type Wish } from "../../src/queue/request.js";
import { loadCatalogue } from "../../src/sky/load-catalogue.js";
import type { Target } from "../../src/sky/target.js";

const target = (id: string): Target => loadCatalogue().byId(id) as Target;
const wish: Wish = {
  target: target("M13"),
  filter: "V",
  exposureSeconds: 20,
  frames: 3,
  notBeforeUnixMs: null,
  note: null,
};

it.each<[string, Partial<Wish>]>([
  ["target", { target: target("M31") }],
  ["filter", { filter: "B" }],
  ["exposure", { exposureSeconds: 21 }],
  ["number of frames", { frames: 2 }],
])("two requests that differ in their %s need frames of their own", (_, change) => {
  expect(sameFrame(wish, { ...wish, ...change })).toBe(false);
});

it("a note or a time to wait for makes no other frame", () => {
  expect(sameFrame(wish, { ...wish, note: "for the poster", notBeforeUnixMs: 1 })).toBe(true);
});
