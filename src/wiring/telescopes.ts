/** The telescopes that a configuration can name. */

import { Refusal } from "../base/refusal.js";
import type { SetUpCheck } from "../chat/surface.js";
import type { Config } from "../config/config.js";
import type { Telescope } from "../telescope/link.js";

type Opens = (config: Config, folder: string, speed: number | null) => Telescope;

/** Only the one that is wanted is loaded. */
const TELESCOPES: Readonly<Record<Config["telescope"]["link"], () => Promise<Opens>>> = {
  practice: async () => (await import("../telescope/practice/practice.js")).practiceTelescope,
  "by-hand": async () => (await import("../telescope/by-hand/by-hand.js")).byHandTelescope,
  folder: async () => (await import("../telescope/folder/folder.js")).folderTelescope,
  hook: async () => (await import("../telescope/hook/hook.js")).hookTelescope,
  device: async () => (await import("../telescope/device/device.js")).deviceTelescope,
};

/**
 * The telescope of a configuration.
 * @param speed from the command line; null when it was left out
 * @throws {Refusal} when it cannot be opened as it is configured, or what really moves is to move faster
 */
export async function telescopeOf(config: Config, folder: string, speed: number | null): Promise<Telescope> {
  const { link } = config.telescope;
  if (speed !== null && link !== "practice")
    throw new Refusal("real-speed", "--speed is for the practice telescope: real machines keep real time.");
  const opens = await TELESCOPES[link]();
  return opens(config, folder, speed);
}

/** The telescope's part of `npm run check`: nothing moves for it. */
export async function checkTelescope(config: Config): Promise<SetUpCheck> {
  const { link } = config.telescope;
  if (link === "hook") return (await import("../telescope/hook/check.js")).checkHook(config);
  if (link === "device") return (await import("../telescope/device/check.js")).checkDevices(config);
  return { lines: [], ok: true };
}
