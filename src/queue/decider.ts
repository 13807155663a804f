/** Why one request was placed before another, with the numbers that decided. */
import type { Degrees, UtcMillis } from "../base/units.js";

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
  | {
      readonly by: "plan";
      readonly score: number;
      readonly otherScore: number;
    }
  /** The other's target could not be observed then: when its window opens, null for not again tonight. */
  | { readonly by: "window"; readonly opensUnixMs: UtcMillis | null }
  | { readonly by: "not-before"; readonly otherNotBeforeUnixMs: UtcMillis }
  /** The other could not have ended before its window closes. */
  | { readonly by: "too-long"; readonly closeUnixMs: UtcMillis };
