/** Under a roll-off roof nobody reads of a dome. */
import { expect, it } from "vitest";
import type { Button } from "../../src/base/button.js";
import { tableAtSite } from "../../src/commands/at-site.js";
import { commandTable } from "../../src/commands/table.js";
import { boardFor } from "../../src/notices/board.js";
import { deriveNotices } from "../../src/notices/derive.js";
import { atSite } from "../../src/notices/words/roof.js";
import { okoro, openWorld, quill, read, text } from "./world.js";

const roofed = () =>
  openWorld("2026-11-25T20:00", (config) => ({
    ...config,
    observatory: { ...config.observatory, dome: null },
  }));

it("answers say roof, and it is set by that name", async () => {
  const world = roofed();
  for (const line of [
    "/tonight",
    "/telescope",
    "/request M31 clear 20",
    "/help",
    "/help equipment",
    "/hold wind",
  ])
    expect(read(await world.type(line, quill)), line).not.toMatch(/dome/i);
  expect(read(await world.type("/tonight"))).toContain("roof shut");
  expect(read(await world.type("/equipment roof shut", okoro))).toMatch(/Roof: shut\n.*roof kept shut/s);
  expect(world.services.desk.state.equipment.dome).toBe("kept-shut");
  world.status = { ...world.status, activity: "moving", waitingFor: "shutter" };
  expect(read(await world.type("/telescope"))).toContain("the roof is opening");
});

it("nobody is under it: typed or pressed, that lifts a hold", async () => {
  const world = roofed();
  world.status = { ...world.status, traits: { ...world.status.traits, movesMachines: true } };
  await world.type("/hold people under the roof", okoro);
  const asked = await world.type("/resume", okoro);
  expect(read({ ...asked, actions: [] })).not.toMatch(/dome/i);
  expect(asked.actions?.[0]?.label).toBe("Nobody is under the roof: resume");
  await world.press(asked.actions?.[0] as Button, okoro);
  expect(world.services.desk.state.hold).toBeNull();
  await world.type("/hold people under the roof", okoro);
  await world.type("/resume nobody under the roof", okoro);
  expect(world.services.desk.state.hold).toBeNull();
});

it("so do commands, notices and the board; what people wrote stays", async () => {
  const world = roofed();
  await world.type("/request M31 clear 20");
  const { config, desk, venues } = world.services;
  expect(JSON.stringify(tableAtSite(commandTable, config))).not.toMatch(/dome/i);
  const before = desk.state;
  const after = { ...before, equipment: { ...before.equipment, dome: "fault" as const } };
  const event = { type: "equipment.changed" as const, equipment: after.equipment, by: null };
  const entry = { key: "1", atUnixMs: world.clock.now(), by: "telescope", events: [event] };
  const told = deriveNotices(config, venues)(entry as never, before, after);
  expect(told.map(({ title }) => title)).toContain("Roof fault");
  expect(told.flatMap(({ lines }) => lines.map(text)).join()).not.toMatch(/dome/i);
  const board = boardFor({ ...world.services, telescope: () => world.status }, "evening-2");
  expect(board.lines.map(text).join("\n")).toMatch(/roof (open|shut)/);
  expect(atSite("The dome is shut; note “my dome model”.", config)).toBe(
    "The roof is shut; note “my dome model”.",
  );
});
