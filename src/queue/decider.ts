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
  /** `why`: what speaks for the order in the plan. */
  | { readonly by: "plan"; readonly why: PlanReason }
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

/** Why the plan has the first of two before the other. */
export type PlanReason =
  /** The other waits for height until then; altitudes are true ones, now and then. */
  | {
      readonly what: "waits";
      readonly untilUnixMs: UtcMillis;
      readonly nowDegrees: Degrees;
      readonly thenDegrees: Degrees;
    }
  /** There is no room for the other tonight; what each takes of the telescope's time. */
  | { readonly what: "no-room"; readonly takesMs: Millis; readonly otherTakesMs: Millis }
  /** The first could not end before its window closes if it had the other's time. */
  | { readonly what: "closing"; readonly closeUnixMs: UtcMillis; readonly otherUnixMs: UtcMillis }
  /** The airmasses of both together, as planned and with their times exchanged. */
  | { readonly what: "airmass"; readonly planned: number; readonly exchanged: number }
  /** The way to the first is shorter, moving and settling. */
  | { readonly what: "near"; readonly readyMs: Millis; readonly otherReadyMs: Millis }
  /** Only the order of the night as a whole. */
  | { readonly what: "whole" };
