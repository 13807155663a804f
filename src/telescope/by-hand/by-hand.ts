/** The telescope worked by hand as the program starts it: real time, and frames that people hand over. */
import type { Config } from "../../config/config.js";
import { openFitsFrames } from "../frames/fits-frames.js";

import type { Telescope } from "../link.js";
import { ByHandLink } from "./link.js";

/** Opens its frames' folder inside `dataFolder`. */
export function byHandTelescope(config: Config, dataFolder: string): Telescope {
  const frames = openFitsFrames(config, dataFolder);
  return {
    speed: 1,
    link: () => new ByHandLink(frames),
    begin: () => () => {},
  };
}
