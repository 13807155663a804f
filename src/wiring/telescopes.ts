/** The telescopes that a configuration can name. */

import { Refusal } from "../base/refusal.js";
import type { SetUpCheck } from "../chat/surface.js";
import type { Config } from "../config/config.js";
import { byHandTelescope } from "../telescope/by-hand/by-hand.js";
import { deviceTelescope } from "../telescope/device/device.js";
import { folderTelescope } from "../telescope/folder/folder.js";
import { hookTelescope } from "../telescope/hook/hook.js";
import type { Telescope } from "../telescope/link.js";
import { practiceTelescope } from "../telescope/practice/practice.js";

type Opens = (config: Config, folder: string, speed: number | null) => Telescope;

const TELESCOPES: Readonly<Record<Config["telescope"]["link"], Opens>> = {
  practice: practiceTelescope,
  "by-hand": byHandTelescope,
  folder: folderTelescope,
  hook: hookTelescope,
  device: deviceTelescope,
};

/**
 * The telescope of a configuration.
 * @param speed from the command line; null when it was left out
 * @throws {Refusal} when it cannot be opened as it is configured, or what really moves is to move faster
 */
export const telescopeOf: Opens = (config, folder, speed) => {
  const { link } = config.telescope;
  if (speed !== null && link !== "practice")
    throw new Refusal("real-speed", "--speed is for the practice telescope: real machines keep real time.");
  return TELESCOPES[link](config, folder, speed);
};

/** The telescope's part of `npm run check`: nothing moves for it. */
export async function checkTelescope(config: Config): Promise<SetUpCheck> {
  const { link } = config.telescope;
  if (link === "hook") return (await import("../telescope/hook/check.js")).checkHook(config);
  if (link === "device") return (await import("../telescope/device/check.js")).checkDevices(config);
  return { lines: [], ok: true };
}
