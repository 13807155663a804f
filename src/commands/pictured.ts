/** A picture beside an answer: the answer stands without it. */
import type { Picture } from "../pictures/pictures.js";
import type { Services } from "./services.js";

/** The picture, or nothing where drawing fails; the fault goes to the operator's log. */
export async function drawn(
  { log }: Services,
  draw: () => Promise<Picture>,
): Promise<{ readonly picture?: Picture }> {
  try {
    return { picture: await draw() };
  } catch (error) {
    log?.warn({ err: error }, "a picture could not be drawn");
    return {};
  }
}
