/** Makes practice frames off the main thread, so that nobody waits for an answer meanwhile. */
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { DateTime } from "luxon";
import { Piscina } from "piscina";
import { SECOND } from "../../base/units.js";
import type { Config } from "../../config/config.js";
import type { FrameRecord, Verdict } from "../../journal/events.js";
import { nightOf } from "../../sky/night.js";
import { cloudMagnitudesAt } from "./cloud.js";
import type { FrameJob } from "./frame-files.js";
import { removeNightsBefore, removeUnfinished } from "./kept-frames.js";
import type { FrameOrder } from "./play-action.js";

export interface PracticeFrames {
  /**
   * Makes one frame's files and says what it shows.
   * @throws {Error} when a file cannot be written
   */
  makeFrame(order: FrameOrder): Promise<FrameRecord>;
  /** Removes files of nights that are longer ago than the configuration keeps them, seen from the night of a date. */
  removeOld(date: string): Promise<void>;
  /** Lets the worker go. */
  close(): Promise<void>;
}

/** In the data folder. */
const FRAMES = "frames";
/** How long an idle worker is kept: from one frame to the next at usual practice speeds. */
const IDLE_MS = 60 * SECOND;

/** @param dataFolder where the frames' folder is made */
export function openFrames(config: Config, dataFolder: string): PracticeFrames {
  const pool = openPool();
  const folder = join(dataFolder, FRAMES);
  const swept = removeUnfinished(folder);
  return {
    makeFrame: async (order) => {
      await swept;
      const { request, index, startUnixMs } = order;
      const job = frameJob(order, config, dataFolder);
      const verdict = await pool.run(job);
      const inside = (path: string): string => path.slice(join(dataFolder, "/").length);
      return {
        index,
        startUnixMs,
        exposureSeconds: request.exposureSeconds,
        filter: request.filter,
        imageFile: inside(job.fitsPath),
        previewFile: inside(job.previewPath),
        verdict,
        simulated: true,
      };
    },
    removeOld: (date) => {
      const oldest = DateTime.fromISO(date).minus({ days: config.keepDays }).toISODate();
      return oldest === null ? Promise.resolve() : removeNightsBefore(folder, oldest);
    },
    close: () => pool.close(),
  };
}

interface Pool {
  run(job: FrameJob): Promise<Verdict>;
  close(): Promise<void>;
}

/** One worker thread; run from the TypeScript sources, which a worker cannot load, the same work is done here. */
function openPool(): Pool {
  if (import.meta.url.endsWith(".ts")) {
    const worker = import("./frame-worker.js");
    return { run: async (job) => (await worker).default(job), close: async () => {} };
  }
  const pool = new Piscina<FrameJob, Verdict>({
    filename: fileURLToPath(new URL("./frame-worker.js", import.meta.url)),
    minThreads: 0,
    maxThreads: 1,
    idleTimeout: IDLE_MS,
    resourceLimits: { maxOldGenerationSizeMb: 128, maxYoungGenerationSizeMb: 4 },
  });
  return { run: (job) => pool.run(job), close: () => pool.close() };
}

/** Everything that one frame depends on, as plain data. */
export function frameJob(order: FrameOrder, config: Config, dataFolder: string): FrameJob {
  const { request, index, startUnixMs, state } = order;
  const { observatory, telescope } = config;
  const { seed, cloudFraction } = telescope.practice;
  const { equipment } = state;
  const midUnixMs = startUnixMs + (request.exposureSeconds * SECOND) / 2;
  const folder = join(dataFolder, FRAMES, nightOf(startUnixMs, observatory.site.timeZone).date);
  const name = `${request.number}-${index}-${request.target.id.replace(/[^A-Za-z0-9+-]/g, "_")}`;
  return {
    exposure: {
      target: request.target,
      filter: request.filter,
      exposureSeconds: request.exposureSeconds,
      startUnixMs,
      observatory,
      equipment,
      cloudMagnitudes: cloudMagnitudesAt(midUnixMs, equipment.sky, cloudFraction, seed),
      seed: seed * 1_000_003 + request.number * 1_009 + index,
    },
    requestNumber: request.number,
    index,
    fitsPath: join(folder, `${name}.fits`),
    previewPath: join(folder, `${name}.png`),
  };
}
