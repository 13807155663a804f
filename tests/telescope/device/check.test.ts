/** What `npm run check` says of machines, without moving any. */
import { expect, test } from "vitest";
import { loadConfig } from "../../../src/config/load.js";
import { checkDevices } from "../../../src/telescope/device/check.js";
import { ManualClock } from "../../../src/tools/manual-clock.js";
import { deviceConfig, ScriptedServer } from "./scripted-server.js";

const example = loadConfig("config/tern-hollow.yaml");
const config = {
  ...example,
  telescope: { ...example.telescope, link: "device" as const, device: deviceConfig },
};

test("each device: connected, and which of the properties needed it has; no order is given", async () => {
  const server = new ScriptedServer(new ManualClock(0));
  const { lines, ok } = await checkDevices(config, server.open);
  expect(ok).toBe(true);
  expect(lines).toHaveLength(6);
  expect(lines[3]).toBe(
    'right  The camera "Camera" is connected and has CCD_EXPOSURE, CCD_ABORT_EXPOSURE, CCD1.',
  );
  expect(server.orders).toEqual([]);
});

test("what is missing is named, with what is there", async () => {
  const server = new ScriptedServer(new ManualClock(0));
  server.kill("Dome");
  const { lines, ok } = await checkDevices(config, server.open, 50);
  expect(ok).toBe(false);
  expect(lines).toContain(
    'WRONG  The dome "Dome" is not at the server; the devices there: Mount, Camera, Wheel, Weather.',
  );
});

test("a server that is not there is a line too", async () => {
  const server = new ScriptedServer(new ManualClock(0));
  server.refuses = true;
  const { lines, ok } = await checkDevices(config, server.open);
  expect(ok).toBe(false);
  expect(lines).toEqual([expect.stringMatching(/^WRONG {2}Nobody answers at 127\.0\.0\.1:7624: start/)]);
});
