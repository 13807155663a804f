/** When the telescope is free for the first turn, and what it stands idle for. */
import type { UtcMillis } from "../base/units.js";
import type { NightInput } from "./night-run.js";

/** Nothing is taken before the telescope is free and the hold is over. Whole milliseconds. */
export function startOf(input: NightInput): UtcMillis {
  const { nowUnixMs, current, holdUntilUnixMs } = input;
  const free = Math.ceil(Math.max(nowUnixMs, current?.freeUnixMs ?? nowUnixMs, holdUntilUnixMs ?? nowUnixMs));
  return openFrom(free, input);
}

/** The first instant from `unixMs` on that is not in a closed stretch. */
export function openFrom(unixMs: UtcMillis, { closed }: NightInput): UtcMillis {
  if (closed === undefined) return unixMs;
  let open = unixMs;
  for (const { openUnixMs, closeUnixMs } of closed)
    if (openUnixMs <= open && open < closeUnixMs) open = closeUnixMs;
  return open;
}
