/** What waits for its target to rise is told from when it can be observed at all. */
import { expect, it } from "vitest";
import { clockTime, say } from "../../src/base/phrase.js";
import { windowsOf } from "../../src/observatory/window.js";
import { nightNamed } from "../../src/sky/night.js";
import { openWorld, read, text, ZONE } from "./world.js";

it("a request for a target that rises later is not before its window opens", async () => {
  const world = openWorld();
  const { catalogue, config } = world.services;
  const target = catalogue.lookUp("M65").found;
  if (!target) throw new Error("M65 is in the catalogue");
  const [window] = windowsOf(target, nightNamed("2026-11-25", ZONE), config.observatory);
  await world.type("/request M65 clear 20 1");
  const opens = text(say`${clockTime(window?.openUnixMs as number)}`);
  expect(read(await world.type("/when 1"))).toContain(
    `Starts about ${opens}. It waits until ${opens}, when it stands high enough.`,
  );
});

it("one that can be observed now is told nothing of the kind", async () => {
  const world = openWorld();
  await world.type("/request M31 clear 20 1");
  expect(read(await world.type("/when 1"))).not.toMatch(/waits (for|until)/);
});
