/** Horizons by the forecast's own median, minutes. */
import { MINUTE, type Millis } from "../../base/units.js";

export const HORIZON_NAMES = ["0-15", "15-60", "60+"] as const;
export type HorizonName = (typeof HORIZON_NAMES)[number];

/** Which horizon a forecast belongs to. */
export function horizonOf(horizonMs: Millis): HorizonName {
  if (horizonMs < 15 * MINUTE) return "0-15";
  return horizonMs < 60 * MINUTE ? "15-60" : "60+";
}
