/** The practice frames' worker: an exposure is simulated, then kept like any other. The star list is read once. */
import { tidyAfter } from "../../base/worker.js";
import type { Verdict } from "../../journal/events.js";
import { loadStars } from "../../sky/load-stars.js";
import { encodeFits } from "../frames/fits.js";
import type { FrameTask } from "../frames/frame-store.js";
import { keepFrame } from "../frames/keep-frame.js";
import { type Simulation, simulate } from "./frame.js";

const stars = loadStars();

/** Called by the pool for each frame. */
export default tidyAfter(makeFrame);

function makeFrame({ job, source }: FrameTask<Simulation>): Promise<Verdict> {
  const { image, cards, circumstances } = simulate({ ...job.exposure, ...source }, stars);
  return keepFrame(job, { ...image, cards }, encodeFits(image, [...cards, ...job.cards]), circumstances);
}
