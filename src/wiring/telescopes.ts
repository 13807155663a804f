/** The telescopes that a configuration can name. */
import type { Config } from "../config/config.js";
import type { Telescope } from "../telescope/link.js";
import { practiceTelescope } from "../telescope/practice/practice.js";

type Opens = (config: Config, folder: string, speed: number | null) => Telescope;

const TELESCOPES: Readonly<Record<Config["telescope"]["link"], Opens>> = { practice: practiceTelescope };

/**
 * The telescope of a configuration.
 * @param speed from the command line; null when it was left out
 */
export const telescopeOf: Opens = (config, folder, speed) =>
  TELESCOPES[config.telescope.link](config, folder, speed);
