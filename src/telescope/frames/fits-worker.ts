/** The worker for frames that a camera has taken: a FITS file is read, judged, and kept with the queue's cards in its header. */
import { tidyAfter } from "../../base/worker.js";
import type { Verdict } from "../../journal/events.js";
import type { FitsSource } from "./byte-reader.js";
import { circumstancesOf } from "./exposure.js";
import { readFits } from "./fits.js";
import type { FrameTask } from "./frame-store.js";
import { keepFrame } from "./keep-frame.js";
import { markedFits } from "./marked-fits.js";

/** Called by the pool for each frame. */
export default tidyAfter(keepFits);

async function keepFits({ job, source }: FrameTask<FitsSource>): Promise<Verdict> {
  const image = await readFits(source);
  return keepFrame(job, image, await markedFits(source, job.cards), circumstancesOf(job.exposure));
}
