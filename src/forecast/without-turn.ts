/** Why a waiting request has no turn in a run. */
import type { UtcMillis } from "../base/units.js";
import type { QueueTable } from "../queue/queue-table.js";
import type { NightInput, NoTurn, Turn } from "./night-run.js";

/** The reasons, by number, for all rows of the table that none of the turns is for. */
export function withoutTurn(
  input: NightInput,
  table: QueueTable,
  turns: readonly Turn[],
): ReadonlyMap<number, NoTurn> {
  const served = new Set(turns.map((turn) => turn.number));
  const reasons = new Map<number, NoTurn>();
  table.requests.forEach((request, row) => {
    if (!served.has(request.number)) reasons.set(request.number, reasonFor(input, table, row));
  });
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
