/** Where the frames of a real camera are kept: FITS files as they came, judged like any other. */
import type { Config } from "../../config/config.js";
import type { FitsSource } from "./byte-reader.js";
import { type FrameStore, openFrameStore } from "./frame-store.js";

/** @param dataFolder where the frames' folder is made */
export function openFitsFrames(config: Config, dataFolder: string): FrameStore<FitsSource> {
  const url = new URL("./fits-worker.js", import.meta.url);
  const worker = { url, here: () => import("./fits-worker.js") };
  return openFrameStore({ config, dataFolder, worker, simulated: false });
}
