/** The Moon near a target, in words. */
import type { Degrees, UtcMillis } from "../../base/units.js";
import type { Observatory } from "../../observatory/observatory.js";
import { moonPhase } from "../../sky/moon.js";
import { horizontal, separationDegrees } from "../../sky/place-at.js";
import type { Target } from "../../sky/target.js";

/** Nearer than this, a bright Moon brightens the sky noticeably. Common practice, no source. */
const NEAR_DEGREES = 30;
/** A thinner crescent does little harm. Common practice, no source. */
const BRIGHT_FRACTION = 0.25;

/** How far the Moon is from a target; null for the Moon itself. */
export function moonDistance(target: Target, unixMs: UtcMillis, { site }: Observatory): Degrees | null {
  if (target.type === "moon") return null;
  return separationDegrees(target, "Moon", unixMs, site);
}

/** One sentence when a bright Moon is up and near at an instant; null otherwise. */
export function moonWarning(target: Target, unixMs: UtcMillis, observatory: Observatory): string | null {
  const distance = moonDistance(target, unixMs, observatory);
  if (distance === null || distance >= NEAR_DEGREES) return null;
  if (horizontal("Moon", unixMs, observatory.site).altitudeDegrees < 0) return null;
  const { illuminatedFraction } = moonPhase(unixMs);
  if (illuminatedFraction < BRIGHT_FRACTION) return null;
  return `The Moon, ${Math.round(illuminatedFraction * 100)} % lit, will be only ${Math.round(distance)}° away: expect a bright sky.`;
}
