/** Machines that move by themselves: whoever lifts a hold says that nobody is near them. */
import { expect, test } from "vitest";
import { okoro, openWorld, read, type World } from "./world.js";

async function held(): Promise<World> {
  const world = openWorld();
  world.status = { ...world.status, traits: { ...world.status.traits, movesMachines: true } };
  await world.type("/hold fog", okoro);
  return world;
}

test("a bare /resume asks first, and lifts nothing", async () => {
  const world = await held();
  const reply = await world.type("/resume", okoro);
  expect(reply.tone).toBe("refused");
  expect(read(reply)).toContain("Look that nobody is in the dome or near the machines");
  expect(world.services.desk.state.hold).not.toBeNull();
});

test("its button lifts the hold, and the journal says that it was confirmed", async () => {
  const world = await held();
  const { actions = [] } = await world.type("/resume", okoro);
  const [button] = actions;
  if (!button) throw new Error("no button");
  await world.press(button, okoro);
  expect(world.services.desk.state.hold).toBeNull();
  const events = [];
  for await (const entry of world.services.desk.entries()) events.push(...entry.events);
  expect(events.at(-1)).toEqual({ type: "hold.lifted", by: okoro.id, nobodyInside: true });
});

test("it can be typed, and anything else is no confirmation", async () => {
  const world = await held();
  expect((await world.type("/resume Tomas is in the dome", okoro)).tone).toBe("refused");
  expect(world.services.desk.state.hold).not.toBeNull();
  await world.type("/resume nobody in the dome", okoro);
  expect(world.services.desk.state.hold).toBeNull();
});
