/** Changes of the equipment that matter to people, in words. */
import { type Phrase, say } from "../../base/phrase.js";
import type { Config } from "../../config/config.js";
import type { Equipment } from "../../journal/events.js";
import type { Telling } from "../telling.js";

/** Said wherever frames are asked for or made without a camera. */
export function noCamera(simulated: boolean): string {
  return simulated
    ? "No camera is fitted, so frames are simulated and marked until it is back."
    : "No camera is fitted: no frame shows the sky until it is back.";
}

/**
 * A part failed, went or came back; null when the change matters to nobody.
 * @param byStaff a dome that opens and shuts by itself at dusk and dawn is no news
 */
export function equipmentTelling(
  before: Equipment,
  after: Equipment,
  byStaff: boolean,
  link: Config["telescope"]["link"],
): Telling | null {
  const changes = [
    ...telescopeChange(before, after),
    ...domeChange(before, after, byStaff, link === "hook" || link === "device"),
    ...cameraChange(before, after, link === "practice"),
  ];
  if (changes.length === 0) return null;
  return {
    kind: "equipment",
    title: changes.map(([title]) => title).join("; "),
    lines: changes.map(([, line]) => line),
  };
}

type Change = readonly [title: string, line: Phrase];

function telescopeChange({ telescope: was }: Equipment, { telescope: is }: Equipment): Change[] {
  if (was === is) return [];
  return is === "fault"
    ? [
        [
          "Telescope fault",
          say`The telescope reports a fault: nothing new is taken until staff have mended it.`,
        ],
      ]
    : [["Telescope ready", say`The telescope is ready again: requests are taken in order.`]];
}

/** @param movesItself it opens for the next request, once staff let it */
function domeChange(
  { dome: was }: Equipment,
  { dome: is }: Equipment,
  byStaff: boolean,
  movesItself: boolean,
): Change[] {
  if (is === was) return [];
  if (is === "fault")
    return [["Dome fault", say`The dome reports a fault: nothing new is taken until it is mended.`]];
  if (is === "kept-shut") {
    const who = byStaff ? say`Staff keep the dome shut` : say`The dome is kept shut`;
    return [["Dome kept shut", say`${who}: nothing new is taken, and all who wait keep their place.`]];
  }
  if (was === "fault")
    return [["Dome mended", say`The dome works again and is ${is} now: requests are taken in order.`]];
  if (was === "kept-shut" && (!byStaff || movesItself))
    return [["Dome released", say`The dome is no longer kept shut: requests are taken in order.`]];
  if (!byStaff) return [];
  return is === "shut"
    ? [
        [
          "Dome shut",
          say`Staff have shut the dome and requests go on: frames are black until it is open again.`,
        ],
      ]
    : [["Dome open", say`Staff have opened the dome: frames show the sky again.`]];
}

function cameraChange({ camera: was }: Equipment, { camera: is }: Equipment, simulated: boolean): Change[] {
  if (was === is) return [];
  switch (is) {
    case "away":
      return [["Camera away", [noCamera(simulated)]]];
    case "fault":
      return [["Camera fault", say`The camera reports a fault: nothing new is taken until it is mended.`]];
    case "fitted":
      return [["Camera back", say`The camera is fitted and works: frames are taken with it from now on.`]];
  }
}
