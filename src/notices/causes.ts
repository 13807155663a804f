/** A simple account of why an estimate moved: what has happened since it was told. */

import { spelled } from "../base/english.js";
import { DAY, type Millis, type UtcMillis } from "../base/units.js";
import type { UnexplainedMove } from "../estimates/moves.js";
import type { Entry, NightslateEvent } from "../journal/events.js";
import type { State } from "../journal/state.js";
import { duration } from "./words/amounts.js";

/**
 * For each move one clause such as "two staff requests came in"; null when nothing has happened that moved it,
 * undefined when it cannot tell.
 */
export type ExplainMoves = (
  moves: readonly UnexplainedMove[],
) => Promise<readonly (string | null | undefined)[]>;

/** Something that can move estimates. */
type Happening = { readonly atUnixMs: UtcMillis } & (
  | { readonly what: "made"; readonly number: number; readonly tier: number }
  | { readonly what: "gone"; readonly requests: number }
  | { readonly what: "held"; readonly forMs: Millis }
  | { readonly what: "rule"; readonly rule: string }
  /** A request took longer (positive) or shorter than promised when it was taken. */
  | { readonly what: "late"; readonly byMs: Millis }
);

export interface CauseParts {
  readonly state: () => State;
  /** Tier names, the first runs first. */
  readonly tiers: readonly string[];
  /** Whether one request now runs before another. */
  readonly runsBefore: (one: number, other: number) => boolean;
}

const KEPT: Millis = DAY;

/** Remembers what happened lately and accounts for moves with it. */
export class RecentCauses {
  private happenings: Happening[] = [];
  private heldSinceUnixMs: UtcMillis | null;
  private promised: { readonly number: number; readonly freeUnixMs: UtcMillis } | null;

  constructor(private readonly parts: CauseParts) {
    const { hold, taken } = parts.state();
    this.heldSinceUnixMs = hold?.sinceUnixMs ?? null;
    this.promised = taken;
  }

  /** Takes note of a stored entry. */
  note(entry: Entry): void {
    for (const event of entry.events) {
      const happening = this.happeningFrom(event, entry.atUnixMs);
      if (happening) this.happenings.push(happening);
    }
    const oldest = this.happenings[0];
    if (oldest && oldest.atUnixMs < entry.atUnixMs - 2 * KEPT) {
      this.happenings = this.happenings.filter((each) => each.atUnixMs >= entry.atUnixMs - KEPT);
    }
  }

  /** The likeliest cause, the most telling first. */
  explain(move: UnexplainedMove): string | null {
    const since = this.happenings.filter((each) => each.atUnixMs > move.toldUnixMs);
    const { fromUnixMs, startUnixMs } = move;
    const later = startUnixMs === null || (fromUnixMs !== null && startUnixMs > fromUnixMs);
    const shiftMs = startUnixMs === null || fromUnixMs === null ? 0 : Math.abs(startUnixMs - fromUnixMs);
    return later ? this.whyLater(move, since, shiftMs) : whyEarlier(since, shiftMs);
  }

  private whyLater(move: UnexplainedMove, since: readonly Happening[], shiftMs: Millis): string | null {
    if (this.holdAhead(move.toldUnixMs) > shiftMs / 2) return "the telescope is on hold";
    const heldMs = sum(since, (each) => (each.what === "held" ? each.forMs : 0));
    if (heldMs > shiftMs / 2) return `the hold lasted ${duration(heldMs)}`;
    const rule = since.findLast((each) => each.what === "rule");
    if (rule?.what === "rule") return `the order is ${rule.rule} now`;
    return this.overtaken(move.number, since) ?? slower(since, shiftMs);
  }

  /** How long the present hold lasts in all, if it was placed since. */
  private holdAhead(toldUnixMs: UtcMillis): Millis {
    const { hold } = this.parts.state();
    if (hold === null || hold.sinceUnixMs < toldUnixMs) return 0;
    return (hold.untilUnixMs ?? Number.POSITIVE_INFINITY) - hold.sinceUnixMs;
  }

  /** "two staff requests came in", "three requests that run before it came in". */
  private overtaken(number: number, since: readonly Happening[]): string | null {
    const own = this.parts.state().requests.get(number)?.tier ?? 0;
    const made = since.flatMap((each) =>
      each.what === "made" && this.parts.runsBefore(each.number, number) ? [each] : [],
    );
    if (made.length === 0) return null;
    const tiers = made.map((each) => each.tier).filter((tier) => tier < own);
    if (tiers.length === 0) {
      return `${spelled(made.length, "request")} that ${made.length === 1 ? "runs" : "run"} before it came in`;
    }
    const name = new Set(tiers).size === 1 ? this.parts.tiers[tiers[0] as number] : undefined;
    return `${spelled(tiers.length, `${name ?? "higher-tier"} request`)} came in`;
  }

  private happeningFrom(event: NightslateEvent, atUnixMs: UtcMillis): Happening | null {
    switch (event.type) {
      case "request.made":
        return { atUnixMs, what: "made", number: event.number, tier: event.tier };
      case "request.withdrawn":
        return { atUnixMs, what: "gone", requests: 1 };
      case "requests.cancelled":
        return { atUnixMs, what: "gone", requests: event.numbers.length };
      case "rule.chosen":
        return { atUnixMs, what: "rule", rule: event.rule };
      case "hold.placed":
        this.heldSinceUnixMs ??= atUnixMs;
        return null;
      case "hold.lifted": {
        const forMs = atUnixMs - (this.heldSinceUnixMs ?? atUnixMs);
        this.heldSinceUnixMs = null;
        return { atUnixMs, what: "held", forMs };
      }
      case "request.taken":
        this.promised = event;
        return null;
      case "action.revised":
        return this.late(event.number, event.freeUnixMs, atUnixMs);
      case "request.completed":
        return this.late(event.number, atUnixMs, atUnixMs);
      default:
        return null;
    }
  }

  /** Beside what was last promised, which it replaces. */
  private late(number: number, freeUnixMs: UtcMillis, atUnixMs: UtcMillis): Happening | null {
    if (this.promised?.number !== number) return null;
    const byMs = freeUnixMs - this.promised.freeUnixMs;
    this.promised = { number, freeUnixMs };
    return { atUnixMs, what: "late", byMs };
  }
}

function whyEarlier(since: readonly Happening[], shiftMs: Millis): string | null {
  const gone = sum(since, (each) => (each.what === "gone" ? each.requests : 0));
  if (gone > 0) return `${spelled(gone, "request")} ${gone === 1 ? "was" : "were"} cancelled or withdrawn`;
  const rule = since.findLast((each) => each.what === "rule");
  if (rule?.what === "rule") return `the order is ${rule.rule} now`;
  if (since.some((each) => each.what === "held")) return "the hold is over";
  return lateness(since) < -shiftMs / 2 && shiftMs > 0 ? "observing goes faster than planned" : null;
}

function slower(since: readonly Happening[], shiftMs: Millis): string | null {
  return shiftMs > 0 && lateness(since) > shiftMs / 2 ? "observing takes longer than planned" : null;
}

function lateness(since: readonly Happening[]): Millis {
  return sum(since, (each) => (each.what === "late" ? each.byMs : 0));
}

function sum(since: readonly Happening[], of: (each: Happening) => number): number {
  return since.reduce((total, each) => total + of(each), 0);
}
