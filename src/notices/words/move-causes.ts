/** Why an estimate moved, one clause for the middle of a sentence. */

import { listed, spelled } from "../../base/english.js";
import type { Millis } from "../../base/units.js";
import type { MoveCause } from "../../forecast/move-cause.js";
import { duration } from "./amounts.js";

const PARTS = {
  slew: "the mount",
  dome: "the dome",
  filter: "the filter wheel",
  shutter: "the dome's shutter",
  settle: "settling",
  readOut: "the camera's read-out",
  handOver: "the hand-over",
} as const;

type Closed = Extract<MoveCause, { forMs: Millis; times: number }>;
type Overhead = Extract<MoveCause, { what: "overhead" }>;

/**
 * "two staff requests came in", "the hold lasted 12 min and the dome is slower than planned"; null for no cause.
 * @param tiers names of the tiers, the first runs first
 */
export function moveClause(causes: readonly MoveCause[], tiers: readonly string[]): string | null {
  return causes.length === 0 ? null : listed(causes.map((cause) => clause(cause, tiers)));
}

function clause(cause: MoveCause, tiers: readonly string[]): string {
  switch (cause.what) {
    case "made": {
      const name = cause.tier === null ? "more" : (tiers[cause.tier] ?? "higher-tier");
      return `${spelled(cause.requests, `${name} request`)} came in`;
    }
    case "again":
      return `${spelled(cause.requests, "request")} ${cause.requests === 1 ? "has" : "have"} to be observed again`;
    case "back":
      return "a cancellation was undone";
    case "gone":
      return `${spelled(cause.requests, "request")} ${cause.requests === 1 ? "was" : "were"} cancelled or withdrawn`;
    case "held":
      return closedClause(cause, "hold", "holds");
    case "fault":
      return closedClause(cause, "telescope's fault", "faults of the telescope");
    case "pace":
      return cause.byMs > 0
        ? `observing took ${duration(cause.byMs)} longer than planned${order(cause)}`
        : `observing went ${duration(cause.byMs)} faster than planned${order(cause)}`;
    case "stopped":
      return "an observation was broken off";
    case "idle":
      return `the telescope stood idle for ${duration(cause.forMs)}${order(cause)}`;
    case "taken":
      return `#${cause.number} was taken first`;
    case "rule":
      return `the order is ${cause.rule} now`;
    case "plan":
      return "the night was planned anew";
    case "overhead":
      return overheadClause(cause);
    case "arrivals":
      return `${cause.fewer ? "fewer" : "more"} requests came in than expected`;
  }
}

/** "the hold lasted 12 min"; of one that was known when the estimate was told, only how it ended. */
function closedClause(cause: Closed, one: string, many: string): string {
  const { times, forMs, is, later } = cause;
  if (is === null) return later ? `the ${one} went on longer` : `the ${one} ended sooner`;
  if (times > 1) return `${spelled(times, one, many)} lasted ${duration(forMs)} together${order(cause)}`;
  return `the ${one} ${is === "on" ? "lasts" : "lasted"} ${duration(forMs)}${order(cause)}`;
}

/** A few minutes can move a request by an hour: another target stands higher by then. */
function order({ reordered }: { readonly reordered: boolean }): string {
  return reordered ? " and changed the order" : "";
}

function overheadClause({ component, slower, thought }: Overhead): string {
  const part = component === null ? "the machines are" : `${PARTS[component]} is`;
  if (thought) return `${part} not as ${slower ? "fast" : "slow"} as thought`;
  return `${part} ${slower ? "slower" : "faster"} than planned`;
}
