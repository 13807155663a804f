/** The practice telescope's frames: simulated under the sky of their time, then kept like any other. */
import { SECOND } from "../../base/units.js";
import type { Config } from "../../config/config.js";
import type { FrameRecord } from "../../journal/events.js";
import type { FrameOrder } from "../frames/frame-order.js";
import { type FrameStore, openFrameStore } from "../frames/frame-store.js";
import { cloudMagnitudesAt } from "./cloud.js";
import type { Simulation } from "./frame.js";

export interface PracticeFrames extends Pick<FrameStore<Simulation>, "removeOld" | "freeBytes" | "close"> {
  /**
   * Makes one frame's files and says what it shows.
   * @throws {Error} when a file cannot be written
   */
  makeFrame(order: FrameOrder): Promise<FrameRecord>;
}

/** @param dataFolder where the frames' folder is made */
export function openFrames(config: Config, dataFolder: string): PracticeFrames {
  const url = new URL("./frame-worker.js", import.meta.url);
  const worker = { url, here: () => import("./frame-worker.js") };
  const { keep, ...store } = openFrameStore({ config, dataFolder, worker, simulated: true });
  return { makeFrame: (order) => keep(order, simulationOf(order, config)), ...store };
}

function simulationOf(
  { request, index, startUnixMs, equipment }: FrameOrder,
  { telescope }: Config,
): Simulation {
  const { seed, cloudFraction } = telescope.practice;
  const midUnixMs = startUnixMs + (request.exposureSeconds * SECOND) / 2;
  return {
    cloudMagnitudes: cloudMagnitudesAt(midUnixMs, equipment.sky, cloudFraction, seed),
    seed: seed * 1_000_003 + request.number * 1_009 + index,
  };
}
