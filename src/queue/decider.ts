/** Why one request was placed before another, with the numbers that decided. */
import type { Degrees, Millis, UtcMillis } from "../base/units.js";

/** Filled by the ordering rules, worded elsewhere. */
export type Decider =
  | { readonly by: "only" }
  | { readonly by: "tier"; readonly tier: number; readonly otherTier: number }
  | {
      readonly by: "altitude";
      readonly altitudeDegrees: Degrees;
      readonly otherAltitudeDegrees: Degrees;
    }
  | {
      readonly by: "asked";
      readonly askedUnixMs: UtcMillis;
      readonly otherAskedUnixMs: UtcMillis;
    }
  | {
      readonly by: "closing";
      readonly closeUnixMs: UtcMillis;
      readonly otherCloseUnixMs: UtcMillis;
    }
  | { readonly by: "turn"; readonly taken: number; readonly otherTaken: number }
  /** `parts`: the fewest of what the score is made of that, exchanged between the two, turn their order round. */
  | {
      readonly by: "plan";
      readonly score: number;
      readonly otherScore: number;
      readonly parts: readonly PlanPart[];
    }
  /** The other's target could not be observed then: when its window opens, null for not again tonight. */
  | { readonly by: "window"; readonly opensUnixMs: UtcMillis | null }
  | { readonly by: "not-before"; readonly otherNotBeforeUnixMs: UtcMillis }
  /** The other could not have ended before its window closes. */
  | { readonly by: "too-long"; readonly closeUnixMs: UtcMillis }
  /** The other stood lower than is worthwhile, and waits until it stands better: that keeps nobody waiting. */
  | {
      readonly by: "low";
      readonly altitudeDegrees: Degrees;
      readonly worthwhileDegrees: Degrees;
      readonly untilUnixMs: UtcMillis;
    };

/** One of the things that a score of the rule `planned` is made of, where it speaks for the first of two. */
export type PlanPart = {
  /** How much of the difference between the two scores it makes, in airmasses; positive. */
  readonly advantage: number;
} & (
  | /** Airmasses that each would lose by waiting, on the whole; negative where waiting gains. */
  { readonly what: "loss"; readonly airmasses: number; readonly otherAirmasses: number }
  /** True altitudes now. */
  | { readonly what: "height"; readonly altitudeDegrees: Degrees; readonly otherAltitudeDegrees: Degrees }
  /** Taking the second first would lose a request that closes sooner and could have been served. */
  | { readonly what: "setting" }
  /** What each takes of the telescope's time, moving included. */
  | { readonly what: "time"; readonly takesMs: Millis; readonly otherTakesMs: Millis }
);
