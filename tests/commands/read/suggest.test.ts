/** What is suggested while a target is being typed: the name meant, before what happens to stand higher. */
import { expect, test } from "vitest";
import { suggest } from "../../../src/commands/read/suggest.js";
import { mira, openWorld } from "../world.js";

const labels = async (typed: string): Promise<string[]> => {
  const { services } = await openWorld();
  return suggest("request", "target", typed, mira, services).map(({ label }) => label);
};

test("a name that begins with it comes before one that only has it inside", async () => {
  const found = await labels("Ring");
  expect(found[0]).toMatch(/^Ring Nebula/);
  expect(found.findIndex((label) => label.startsWith("Pickering"))).toBeGreaterThan(0);
});

test("exactly that name comes first, however low it stands", async () => {
  for (const typed of ["M4", "m 4"]) expect((await labels(typed))[0]).toMatch(/\bM4\b/);
});

test("several words and an opened quote are one name", async () => {
  for (const typed of ["ring ne", '"ring ne', "“Ring Nebula”"]) {
    expect((await labels(typed))[0]).toMatch(/^Ring Nebula/);
  }
});

test("a small body whose orbit is too old to point at comes last, and says so", async () => {
  const found = await labels("j");
  expect(found.findIndex((label) => label.startsWith("Juno"))).toBeGreaterThan(2);
  expect(await labels("juno")).toContainEqual("Juno · minor planet · its orbit here is too old");
});
