/** `telescope.folder`: where a camera program leaves its frames, and how they are told apart. */
import { z } from "zod";
import { shown } from "../observatory/observatory-schema.js";

export const folderSection = z.strictObject({
  /** Watched, with the folders inside it; never written to. Relative to the working directory. */
  path: shown(1_000),
  /** A frame within this of a target may be of it; left out: half the camera's field, or half a degree where that is more. */
  toleranceDegrees: z.number().positive().max(10).nullable().default(null),
  /** A file whose size and time have not changed for so long is whole. */
  wholeSeconds: z.number().min(0.5).max(300).default(5),
});
