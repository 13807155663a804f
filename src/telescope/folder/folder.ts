/** The telescope whose frames are found in a folder, as the program starts it: real time, and the folder that is watched. */
import { statSync } from "node:fs";
import { resolve } from "node:path";
import { Refusal } from "../../base/refusal.js";
import { SECOND } from "../../base/units.js";
import type { Config } from "../../config/config.js";
import { openFitsFrames } from "../frames/fits-frames.js";
import type { Telescope } from "../link.js";
import { readFacts } from "./frame-facts.js";
import { FolderLink } from "./link.js";
import { watchFolder } from "./watch-folder.js";

/**
 * Opens its frames' folder inside `dataFolder`.
 * @throws {Refusal} when there is no folder to watch
 */
export function folderTelescope(config: Config, dataFolder: string): Telescope {
  const { folder } = config.telescope;
  if (!folder)
    throw new Refusal(
      "no-folder",
      "telescope.link is folder, so it has to be said which: set telescope.folder.path to where the camera program leaves its frames.",
    );
  const path = resolve(folder.path);
  if (!statSync(path, { throwIfNoEntry: false })?.isDirectory())
    throw new Refusal(
      "no-folder",
      `telescope.folder.path: there is no folder ${path}; make it, or name another.`,
    );
  const frames = openFitsFrames(config, dataFolder);
  const watch: ConstructorParameters<typeof FolderLink>[0]["watch"] = (onWhole, { clock, log }) =>
    watchFolder({
      path,
      clock,
      onWhole,
      wholeMs: folder.wholeSeconds * SECOND,
      onTrouble: (error) => log.error({ reason: error.message }, "the folder of frames cannot be watched"),
    });
  return {
    speed: 1,
    link: () => new FolderLink({ frames, read: readFacts, watch }),
    begin: () => () => {},
  };
}
