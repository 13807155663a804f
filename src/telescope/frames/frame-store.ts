/** Where a telescope's frames are kept: judged and written off the main thread, so that nobody waits for an answer meanwhile. */
import { statfs } from "node:fs/promises";
import { join } from "node:path";
import { DateTime } from "luxon";
import { SECOND } from "../../base/units.js";
import { openWorkers, type WorkerPlan } from "../../base/workers.js";
import type { Config } from "../../config/config.js";
import type { FrameRecord, Verdict } from "../../journal/events.js";
import { nightOf } from "../../sky/night.js";
import { type FrameOrder, frameName, orderCards } from "./frame-order.js";
import type { FrameJob } from "./keep-frame.js";
import { removeNightsBefore, removeUnfinished } from "./kept-files.js";

/** @typeParam Source what the picture is made of, plain data: a file's path, or how to simulate it */
export interface FrameStore<Source> {
  /**
   * Judges one frame, writes its files, and says what it shows.
   * @throws {Error} when it cannot be read or written
   */
  keep(order: FrameOrder, source: Source): Promise<FrameRecord>;
  /** Removes files of nights that are longer ago than the configuration keeps them, seen from the night of a date. */
  removeOld(date: string): Promise<void>;
  /** Room left where they are kept. @throws {Error} when the system does not say */
  freeBytes(): Promise<number>;
  /** Lets the worker go. */
  close(): Promise<void>;
}

export interface FrameTask<Source> {
  readonly job: FrameJob;
  readonly source: Source;
}

export interface StoreParts<Source> {
  readonly config: Config;
  /** Where the frames' folder is made. */
  readonly dataFolder: string;
  /** What makes files of a job. */
  readonly worker: Pick<WorkerPlan<FrameTask<Source>, Verdict>, "url" | "here">;
  readonly simulated: boolean;
}

/** In the data folder. */
const FRAMES = "frames";
/** How long an idle worker is kept: from one frame to the next at usual paces. */
const IDLE_MS = 60 * SECOND;

export function openFrameStore<Source>(parts: StoreParts<Source>): FrameStore<Source> {
  const { config, dataFolder, simulated } = parts;
  const limits = { maxOldGenerationSizeMb: 128, maxYoungGenerationSizeMb: 4 };
  const pool = openWorkers({ ...parts.worker, threads: 1, idleMs: IDLE_MS, limits });
  const folder = join(dataFolder, FRAMES);
  const swept = removeUnfinished(folder);
  return {
    keep: async (order, source) => {
      await swept;
      const { request, index, startUnixMs } = order;
      const job = frameJob(order, parts);
      const verdict = await pool.run({ job, source });
      const inside = (path: string): string => path.slice(join(dataFolder, "/").length);
      return {
        index,
        startUnixMs,
        exposureSeconds: request.exposureSeconds,
        filter: request.filter,
        imageFile: inside(job.fitsPath),
        previewFile: inside(job.previewPath),
        verdict,
        simulated,
      };
    },
    removeOld: (date) => {
      const oldest = DateTime.fromISO(date).minus({ days: config.keepDays }).toISODate();
      return oldest === null ? Promise.resolve() : removeNightsBefore(folder, oldest);
    },
    freeBytes: async () => {
      const { bavail, bsize } = await statfs(dataFolder);
      return bavail * bsize;
    },
    close: async () => {
      await swept;
      await pool.close();
    },
  };
}

/** Everything that one frame depends on, as plain data. */
export function frameJob(
  order: FrameOrder,
  parts: Pick<StoreParts<never>, "config" | "dataFolder" | "simulated">,
): FrameJob {
  const { request, index, startUnixMs, equipment } = order;
  const { observatory, telescope } = parts.config;
  const folder = join(parts.dataFolder, FRAMES, nightOf(startUnixMs, observatory.site.timeZone).date);
  const name = frameName(order);
  const { target, filter, exposureSeconds } = request;
  return {
    exposure: { target, filter, exposureSeconds, startUnixMs, observatory, equipment },
    requestNumber: request.number,
    index,
    simulated: parts.simulated,
    usualFwhmArcseconds: order.usualFwhmArcseconds ?? null,
    slitOffDegrees: order.slitOffDegrees ?? null,
    limits: telescope.frames,
    cards: orderCards(order, parts.config),
    fitsPath: join(folder, `${name}.fits`),
    previewPath: join(folder, `${name}.png`),
  };
}
