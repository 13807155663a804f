/** What the line of the state says: a hold, cloud, a fault, a shut dome. */
import type { WireStatus } from "../../wire.js";

const TAKEN_LATER = "nothing new is taken until that is mended.";

/** Lines, the weightiest first; none when all is well. `clock` says a time of day. */
export function stateLines(
  { hold, equipment, what, roof }: Pick<WireStatus, "hold" | "equipment" | "what" | "roof">,
  clock: (unixMs: number) => string,
): string[] {
  const lines: string[] = [];
  const cover = roof ? "roof" : "dome";
  if (hold) {
    const until = hold.until === null ? "until staff resume" : `until ${clock(hold.until)}`;
    lines.push(`On hold ${until}: ${hold.reason}`);
    lines.push(
      "No new request is taken. This is software, no interlock: follow the site's lock-out procedure.",
    );
  }
  if (equipment.telescope === "fault") lines.push(`The telescope reports a fault: ${TAKEN_LATER}`);
  if (equipment.dome === "fault") lines.push(`The ${cover} reports a fault: ${TAKEN_LATER}`);
  if (equipment.dome === "kept-shut") lines.push(`The ${cover} is kept shut: ${TAKEN_LATER}`);
  if (equipment.camera === "fault") lines.push(`The camera reports a fault: ${TAKEN_LATER}`);
  if (equipment.dome === "shut" && what !== null) lines.push(`The ${cover} is shut: frames will be black.`);
  if (equipment.sky === "cloud") lines.push("Cloud reported: frames may show little.");
  if (equipment.camera === "away") lines.push("Camera away: frames are not real.");
  return lines;
}
