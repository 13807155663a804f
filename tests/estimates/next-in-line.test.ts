/** "You are next": only of whom nothing can overtake before its near start, by the queue as it stands. */
import { expect, test } from "vitest";
import { MINUTE } from "../../src/base/units.js";
import { okoro, openWorld, quill, read, type World } from "../commands/world.js";

/** M31 stands high at eight; Jupiter has not risen then. */
async function asked(...lines: string[]): Promise<World> {
  const world = openWorld("2026-11-25T20:00");
  for (const line of lines) await world.type(line);
  return world;
}

function next({ services }: World): number[] {
  return services.forecast.order().flatMap(({ number, next }) => (next ? [number] : []));
}

/** Takes what comes first; @returns when it is done. */
async function take(world: World): Promise<number> {
  const step = world.services.forecast.nextStep();
  if (step.do !== "take") throw new Error("nothing can be taken");
  const { number, freeUnixMs, altitudeDegrees, pointingAfter } = step.turn;
  await world.happen(() => [
    { type: "request.taken", number, freeUnixMs, altitudeDegrees, airmass: 1, pointingAfter },
  ]);
  return freeUnixMs;
}

test("what comes first and can be observed at once is next, and nothing after it", async () => {
  const world = await asked("/request M31 V 20 1", "/request M15 V 20 1");
  expect(next(world)).toEqual([1]);
  expect(read(await world.type("/when 1"))).toContain("#1 M31: next in line");
});

test("a target that has still to rise is not next, whatever is under way: it waits until it rises, and why is said", async () => {
  const world = await asked("/request M31 V 20 1", "/request Jupiter V 1 1");
  await take(world);
  expect(next(world)).toEqual([]);
  const said = read(await world.type("/when 2"));
  expect(said).toContain("#2 Jupiter: waits for its time");
  expect(said).toMatch(/It waits until \d\d:\d\d, when it (stands high enough|clears the trees and walls)\./);
  expect(said).not.toMatch(/next/);
});

test("whatever runs right after a long one under way is next, though that takes more than a quarter of an hour", async () => {
  const world = await asked("/request M31 V 600 4", "/request M15 V 20 1");
  const free = await take(world);
  expect(free - world.clock.now()).toBeGreaterThan(30 * MINUTE);
  expect(next(world)).toEqual([2]);
});

test("what waits for a time of its own is next a quarter of an hour before it, not sooner", async () => {
  const world = await asked("/request M31 V 20 1 notbefore=20:30");
  expect(next(world)).toEqual([]);
  await world.clock.moveTo(world.clock.now() + 16 * MINUTE);
  expect(next(world)).toEqual([1]);
});

test("nobody is next during a hold, with an end or without, nor while a fault stands", async () => {
  const world = await asked("/request M31 V 20 1");
  await world.type("/hold 5m cloud", okoro);
  expect(next(world)).toEqual([]);
  expect(read(await world.type("/when 1"))).not.toMatch(/next/i);
  await world.type("/resume", okoro);
  await world.type("/hold cloud", okoro);
  expect(read(await world.type("/when 1"))).not.toMatch(/\bnext\b/i);
  await world.type("/resume", okoro);
  expect(next(world)).toEqual([1]);
  await world.type("/equipment telescope fault", okoro);
  expect(next(world)).toEqual([]);
});

test("why the one under way came first can be said: the night is looked at as it was then", async () => {
  const world = await asked("/request M31 V 20 1");
  await world.type("/request M15 V 20 1", quill);
  await take(world);
  expect(world.services.forecast.whyBefore(1, 2)).toMatchObject({
    first: 2,
    second: 1,
    decider: { by: "tier", tier: 0, otherTier: 1 },
  });
});
