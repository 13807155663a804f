/** The worker's side of frame making: the star list is read once. */
import type { Verdict } from "../../journal/events.js";
import { loadStars } from "../../sky/load-stars.js";
import { type FrameJob, makeFrameFiles } from "./frame-files.js";

const stars = loadStars();

/** Called by the pool for each frame. */
export default function makeFrame(job: FrameJob): Promise<Verdict> {
  return makeFrameFiles(job, stars);
}
