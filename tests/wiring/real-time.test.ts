/** A telescope that really moves runs on real time, whatever the practice telescope's settings are. */
import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { expect, test } from "vitest";
import { silentLog } from "../../src/base/log.js";
import { HOUR, MINUTE } from "../../src/base/units.js";
import { loadConfig } from "../../src/config/load.js";
import type { Telescope } from "../../src/telescope/link.js";
import { practiceTelescope } from "../../src/telescope/practice/practice.js";
import { start } from "../../src/wiring/start.js";
import { telescopeOf } from "../../src/wiring/telescopes.js";
import { plainFrame } from "../telescope/evening.js";
import { ScriptedLink } from "../telescope/scripted-link.js";

const config = loadConfig("config/tern-hollow.yaml");

const real: Telescope = {
  speed: 1,
  link: () => new ScriptedLink(plainFrame),
  begin: () => () => {},
};

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
  expect(await clockOf(() => real)).toEqual({ speed: 1, simulated: false, isNow: true });
});

test("the practice telescope's has the speed that was asked for, and begins at dusk", async () => {
  const practice = await clockOf((folder) => practiceTelescope(config, folder, 30));
  expect(practice).toMatchObject({ speed: 30, simulated: true });
});

test("a journal that practice ran ahead of the real clock is refused by a real telescope, and left as it was", async () => {
  const folder = mkdtempSync(join(tmpdir(), "ahead-"));
  const parts = { config, folder, log: silentLog, surfaces: () => [] };
  const practice = await start({
    ...parts,
    telescope: practiceTelescope(config, folder, 30),
    startUnixMs: Date.now() + HOUR,
  });
  await practice.services.desk.act(() => [{ type: "hold.lifted", by: null }], { by: "terminal:quill" });
  await practice.stop();
  for (let twice = 0; twice < 2; twice++)
    await expect(start({ ...parts, telescope: real })).rejects.toThrow(
      /^The journal's last entry is of \d{4}-\d\d-\d\d \d\d:\d\d UTC, later than now.*--data, dataFolder or store/,
    );
  rmSync(folder, { recursive: true, force: true });
});

test("--speed is refused by every telescope that really moves", async () => {
  for (const link of ["by-hand", "folder", "hook", "device"] as const)
    await expect(telescopeOf({ ...config, telescope: { ...config.telescope, link } }, "", 2)).rejects.toThrow(
      /^--speed is for/,
    );
});
