/** Changes of the equipment that matter to people, in words. */
import { type Phrase, say } from "../../base/phrase.js";
import type { Equipment } from "../../journal/events.js";
import type { Telling } from "../telling.js";

/** A part failed, went or came back; null when the change matters to nobody. */
export function equipmentTelling(before: Equipment, after: Equipment): Telling | null {
  const changes = [
    ...telescopeChange(before, after),
    ...domeChange(before, after),
    ...cameraChange(before, after),
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

function domeChange({ dome: was }: Equipment, { dome: is }: Equipment): Change[] {
  if (is === was || (is !== "fault" && was !== "fault")) return [];
  return is === "fault"
    ? [["Dome fault", say`The dome reports a fault: frames may be black until staff have mended it.`]]
    : [["Dome mended", say`The dome works again; it is ${is} now.`]];
}

function cameraChange({ camera: was }: Equipment, { camera: is }: Equipment): Change[] {
  if (was === is) return [];
  switch (is) {
    case "away":
      return [["Camera away", say`No camera is fitted: frames are synthetic, and say so, until it is back.`]];
    case "fault":
      return [["Camera fault", say`The camera reports a fault: frames may fail until staff have mended it.`]];
    case "fitted":
      return [["Camera back", say`The camera is fitted and works: frames are taken with it from now on.`]];
  }
}
