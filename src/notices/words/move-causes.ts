/** Why an estimate moved, one clause for the middle of a sentence. */
import type { MoveCause } from "../../forecast/what-moved.js";
import { duration, spelled } from "./amounts.js";

const PARTS = {
  slew: "the mount",
  dome: "the dome",
  filter: "the filter wheel",
  shutter: "the dome's shutter",
  settle: "settling",
  readOut: "the camera's read-out",
  handOver: "the hand-over",
} as const;

/**
 * "two staff requests came in", "the hold lasted 12 min", "the dome is slower than planned".
 * @param tiers names of the tiers, the first runs first
 */
export function moveCauseClause(cause: MoveCause, tiers: readonly string[]): string {
  switch (cause.what) {
    case "made": {
      if (cause.tier !== null)
        return `${spelled(cause.requests, `${tiers[cause.tier] ?? "higher-tier"} request`)} came in`;
      return `${spelled(cause.requests, "more request")} came in`;
    }
    case "again":
      return `${spelled(cause.requests, "request")} ${cause.requests === 1 ? "has" : "have"} to be observed again`;
    case "gone":
      return `${spelled(cause.requests, "request")} ${cause.requests === 1 ? "was" : "were"} cancelled or withdrawn`;
    case "held":
      return `the hold lasted ${duration(cause.forMs)}`;
    case "late":
      return `observing took ${duration(cause.byMs)} longer than planned`;
    case "rule":
      return `the order is ${cause.rule} now`;
    case "overhead":
      return `${PARTS[cause.component]} is ${cause.factor > 1 ? "slower" : "faster"} than planned`;
  }
}
