/** What whoever works the telescope is told, in words. */
import type { Button } from "../../base/button.js";
import { clockTime, say, strong } from "../../base/phrase.js";
import type { Happened } from "../../journal/events.js";
import type { Request } from "../../queue/request.js";
import type { Telling } from "../telling.js";
import { requestName } from "./amounts.js";
import { reasonLine } from "./requests.js";

/** Someone has ended what is under way. @param people people are, or may be, at the machines */
export function stopTelling(request: Request, reason: string | null, people: boolean): Telling {
  return {
    kind: "operator",
    title: `Stop #${request.number} now`,
    lines: [
      reason === null ? say`Its owner took it back.` : reasonLine(reason),
      people
        ? say`${strong("Stop exposure and motion, and move nothing")} until the hold is lifted: no slew, no park, no dome.`
        : say`${strong("Stop its exposure and its motion.")} Nothing need be marked.`,
    ],
  };
}

/** Nobody has said what became of it. */
export function overdueTelling(request: Request): Telling {
  const { number, takenUnixMs } = request;
  const mark = (what: string, label: string): Button => ({
    ...{ command: "mark", options: { request: number, what }, label, onlyFor: null, about: number },
  });
  return {
    kind: "operator",
    title: `${requestName(request)}: still under way?`,
    lines: [
      ...(takenUnixMs === null
        ? []
        : [say`It was taken at ${clockTime(takenUnixMs)} and should be done by now.`]),
      say`Say what became of it; until then the others wait.`,
    ],
    actions: [mark("done", "Done"), mark("failed", "Failed"), mark("stopped", "Stopped")],
  };
}

/** Nothing is taken until there is room. */
export function shortTelling(
  { neededBytes, freeBytes }: { readonly neededBytes: number; readonly freeBytes: number },
  waiting: number,
): Telling {
  const keep = waiting === 1 ? "the one who waits keeps their" : `all ${waiting} who wait keep their`;
  return {
    kind: "operator",
    title: "The disk has no room for the next frames",
    lines: [
      say`${megabytes(freeBytes)} are free and ${megabytes(neededBytes)} are needed; ${keep} place.`,
      say`Make room where the data folder is; it goes on by itself. Frames are not removed for it.`,
    ],
  };
}

/** Found in the folder, and fitting nothing. */
export function unplacedTelling({ files, total }: Omit<Happened<"frames.unplaced">, "type">): Telling {
  const more = total - files.length;
  return {
    kind: "operator",
    title: total === 1 ? "A frame was not placed" : `${total} frames were not placed`,
    lines: [
      ...files.map(({ name, why }) => say`${strong(name)}: ${why}.`),
      ...(more > 0 ? [say`The log names the other ${more}.`] : []),
    ],
  };
}

function megabytes(bytes: number): string {
  return `${Math.round(bytes / 1e6).toLocaleString("en-US")} MB`;
}
