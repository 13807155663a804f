/** Why a waiting request has no turn in a run. */
import type { UtcMillis } from "../base/units.js";
import type { QueueTable } from "../queue/queue-table.js";
import type { NightInput, NoTurn } from "./night-run.js";

/**
 * The reasons, by number, for all rows of the table that were not taken.
 * @param taken by row: 1 for one that has a turn
 */
export function withoutTurn(
  input: NightInput,
  table: QueueTable,
  taken: Uint8Array,
): ReadonlyMap<number, NoTurn> {
  const reasons = new Map<number, NoTurn>();
  for (let row = 0; row < taken.length; row++)
    if (taken[row] === 0) reasons.set(table.requests[row]!.number, reasonFor(input, table, row));
  return reasons;
}

function reasonFor(input: NightInput, table: QueueTable, row: number): NoTurn {
  if ((input.holdUntilUnixMs ?? input.nowUnixMs) >= input.untilUnixMs) return { why: "hold" };
  const notBeforeUnixMs = table.notBeforeUnixMs[row]!;
  if (notBeforeUnixMs >= input.untilUnixMs) return { why: "not-before", notBeforeUnixMs };
  const fromUnixMs = Math.max(input.nowUnixMs, notBeforeUnixMs);
  return { why: opensAfter(table, row, fromUnixMs, input.untilUnixMs) ? "no-time" : "no-window" };
}

function opensAfter(table: QueueTable, row: number, fromUnixMs: UtcMillis, untilUnixMs: UtcMillis): boolean {
  const { windows } = table.groups[table.group[row]!]!.night;
  return windows.some(({ openUnixMs, closeUnixMs }) => closeUnixMs > fromUnixMs && openUnixMs < untilUnixMs);
}
