/** What the telescope is doing and what it is fit for, in words. */
import { capital } from "../../base/english.js";
import { type Phrase, relative, say } from "../../base/phrase.js";
import { SECOND, type UtcMillis } from "../../base/units.js";
import type { Equipment } from "../../journal/events.js";
import { heldBy } from "../../journal/held-by.js";
import type { TelescopeStatus, TelescopeTraits } from "../../journal/telescope-status.js";
import { seconds } from "../../notices/words/amounts.js";
import { noCamera } from "../../notices/words/equipment.js";
import { heldWords } from "../../notices/words/held.js";
import { reasonLine } from "../../notices/words/requests.js";
import { timeFrom } from "../../notices/words/times.js";
import type { Present } from "../services.js";

/** A shorter time left than this is over before it is read. */
const WORTH_SAYING = 30 * SECOND;

/** "moving; the dome has 32° to turn", "exposing frame 2 of 3, 20 s". */
export function activityWords(status: TelescopeStatus): string {
  switch (status.activity) {
    case "idle":
      return "idle";
    case "holding":
      return "on hold";
    case "observing":
      return "observing";
    case "moving":
      return `moving${waitWords(status)}`;
    case "exposing":
      return `exposing ${frameWords(status)}`;
    case "reading-out":
      return `reading out ${frameWords(status)}`;
    case "handing-over":
      return "handing over the frames";
    case "stopping":
      return "being stopped";
    case "fault":
      return "stopped by a fault";
  }
}

/** The same as a sentence, with the time that is left. */
export function activityPhrase(status: TelescopeStatus, now: UtcMillis): Phrase {
  const words = `The telescope is ${activityWords(status)}`;
  const end = endOf(status, now);
  return end === null ? say`${words}.` : say`${words}; that ends ${relative(end)}.`;
}

/** When what it is doing ends, one sentence; nothing when that is unknown or at once. */
export function activityEnd(status: TelescopeStatus, now: UtcMillis): Phrase[] {
  const end = endOf(status, now);
  return end === null ? [] : [say`That ends ${relative(end)}.`];
}

/**
 * What stands in the way of a good frame now, one sentence each; empty when nothing is known to.
 * @param dark whether it is dark now: by day a dome is shut as it should be
 */
export function conditionWarnings(
  { telescope, dome, camera, sky }: Equipment,
  dark: boolean,
  { simulated, movesMachines }: TelescopeTraits,
): string[] {
  const warnings: string[] = [];
  if (telescope === "fault") warnings.push("The telescope has a fault.");
  if (dome === "fault") warnings.push("The dome has a fault.");
  if (dome === "kept-shut") warnings.push("The dome is kept shut.");
  // What moves by itself opens its dome for the next request.
  if (dome === "shut" && dark && !movesMachines) warnings.push("The dome is shut although it is dark.");
  if (camera === "away") warnings.push(noCamera(simulated));
  if (camera === "fault") warnings.push("The camera has a fault.");
  if (sky === "cloud") warnings.push("There is cloud.");
  return warnings;
}

/** "telescope ready, dome open, camera fitted, sky clear"; while the shutter opens the dome is not yet open. */
export function equipmentWords(
  { telescope, dome, camera, sky }: Equipment,
  waitingFor: TelescopeStatus["waitingFor"] = null,
): string {
  const shown = waitingFor === "shutter" ? "opening" : dome.replace("-", " ");
  return `telescope ${telescope}, dome ${shown}, camera ${camera}, sky ${sky}`;
}

/** What keeps requests from being taken, if anything does: why and until when. */
export function holdPhrase({ desk, now }: Present): Phrase | null {
  const { hold } = desk.state;
  const machines = heldBy(desk.state);
  if (machines !== null) {
    const end = machines === "no-room" ? "there is room again" : "that is reported mended";
    return say`${capital(heldWords(machines, desk.state.waiting.size))}. It goes on by itself once ${end}.`;
  }
  if (!hold) return null;
  const until =
    hold.untilUnixMs === null ? say`until staff resume` : say`until ${timeFrom(hold.untilUnixMs, now)}`;
  return say`On hold ${until}; no new request is taken. ${reasonLine(hold.reason)}`;
}

function endOf({ untilUnixMs }: TelescopeStatus, now: UtcMillis): UtcMillis | null {
  return untilUnixMs !== null && untilUnixMs > now + WORTH_SAYING ? untilUnixMs : null;
}

function waitWords({ waitingFor, domeDegreesLeft }: TelescopeStatus): string {
  switch (waitingFor) {
    case "dome":
      return domeDegreesLeft === null
        ? "; the dome is turning"
        : `; the dome has ${Math.round(domeDegreesLeft)}° to turn`;
    case "mount":
      return " to the target";
    case "filter":
      return "; the filter wheel is turning";
    case "shutter":
      return "; the dome's shutter is opening";
    case "settle":
      return "; it is on the target and settling";
    case null:
      return "";
  }
}

function frameWords({ frame, frames, exposureSeconds }: TelescopeStatus): string {
  const which = frame !== null && frames !== null && frames > 1 ? `frame ${frame} of ${frames}` : "the frame";
  return exposureSeconds === null ? which : `${which}, ${seconds(exposureSeconds)}`;
}
