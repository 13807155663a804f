/** The worker for frames that a camera has taken: a FITS file is read, then kept. */
import { readFile } from "node:fs/promises";
import type { Verdict } from "../../journal/events.js";
import type { FitsSource } from "./byte-reader.js";
import { circumstancesOf } from "./exposure.js";
import { readFits } from "./fits.js";
import type { FrameTask } from "./frame-store.js";
import { keepFrame } from "./keep-frame.js";

/** Called by the pool for each frame. */
export default async function keepFits({ job, source }: FrameTask<FitsSource>): Promise<Verdict> {
  const bytes = "path" in source ? await readFile(source.path) : source.bytes;
  return keepFrame(job, await readFits({ bytes }), bytes, circumstancesOf(job.exposure));
}
