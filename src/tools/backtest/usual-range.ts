/** A plain empirical range: the median that was told, between the usual errors of past answers at the same horizon. */
import { quantileSorted } from "d3-array";
import type { Millis, UtcMillis } from "../../base/units.js";
import { HORIZON_NAMES, type HorizonName, horizonOf } from "./horizons.js";
import { type Judged, type Range, startOf } from "./question.js";

/** Fewer past errors say too little. */
const LEAST_ERRORS = 20;

/** Learns from whole nights only: what tonight brings is not known yet. */
export class UsualRange {
  private readonly errorsMs = new Map<HorizonName, Millis[]>(HORIZON_NAMES.map((name) => [name, []]));

  /** Start less median of every answer of a night that has come true. */
  nightEnds(judged: readonly Judged[]): void {
    for (const each of judged) {
      const { start, questionUnixMs } = each.answer;
      const actual = startOf(each);
      if (start === null || actual === null || actual === questionUnixMs) continue;
      this.errorsMs.get(horizonOf(start.medianUnixMs - questionUnixMs))?.push(actual - start.medianUnixMs);
    }
    for (const errors of this.errorsMs.values()) errors.sort((a, b) => a - b);
  }

  /** null while too little is known. */
  around(medianUnixMs: UtcMillis, questionUnixMs: UtcMillis): Range | null {
    const errors = this.errorsMs.get(horizonOf(medianUnixMs - questionUnixMs)) ?? [];
    if (errors.length < LEAST_ERRORS) return null;
    const at = (share: number): UtcMillis => medianUnixMs + (quantileSorted(errors, share) ?? 0);
    return { lowUnixMs: Math.max(questionUnixMs, at(0.1)), medianUnixMs, highUnixMs: at(0.9) };
  }
}
