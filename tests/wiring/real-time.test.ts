/** A telescope that really moves runs on real time, whatever the practice telescope's settings are. */
import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { expect, test } from "vitest";
import { silentLog } from "../../src/base/log.js";
import { MINUTE } from "../../src/base/units.js";
import { loadConfig } from "../../src/config/load.js";
import type { Telescope } from "../../src/telescope/link.js";
import { practiceTelescope } from "../../src/telescope/practice/practice.js";
import { start } from "../../src/wiring/start.js";
import { plainFrame } from "../telescope/evening.js";
import { ScriptedLink } from "../telescope/scripted-link.js";

const config = loadConfig("config/tern-hollow.yaml");

async function clockOf(telescope: (folder: string) => Telescope) {
  const folder = mkdtempSync(join(tmpdir(), "real-time-"));
  const parts = { config, folder, log: silentLog, surfaces: () => [] };
  const running = await start({ ...parts, telescope: telescope(folder) });
  const { speed } = running.clock;
  const aheadMs = running.clock.now() - Date.now();
  const { simulated } = running.services.telescope().traits;
  await running.stop();
  rmSync(folder, { recursive: true, force: true });
  return { speed, simulated, isNow: Math.abs(aheadMs) < MINUTE };
}

test("a real telescope's clock is everyone's", async () => {
  const real: Telescope = {
    speed: 1,
    startUnixMs: () => null,
    link: () => new ScriptedLink(plainFrame),
    begin: () => () => {},
  };
  expect(await clockOf(() => real)).toEqual({ speed: 1, simulated: false, isNow: true });
});

test("the practice telescope's has the speed that was asked for, and begins at dusk", async () => {
  const practice = await clockOf((folder) => practiceTelescope(config, folder, 30));
  expect(practice).toMatchObject({ speed: 30, simulated: true });
});
