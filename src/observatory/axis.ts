/** How long one motor-driven axis takes for a distance. */
import type { Degrees, Seconds } from "../base/units.js";
import type { Axis } from "./observatory.js";

/**
 * Time to move from rest to rest: a trapezoidal velocity profile, triangular where the distance is too
 * short to reach top speed (v²/a). Kinematics of constant acceleration; the profile is common practice
 * for motor drives, no source.
 *
 * The time is a concave function of the distance that starts at 0, so a detour never saves time.
 * @param distanceDegrees how far; its sign does not matter
 */
export function axisSeconds(distanceDegrees: Degrees, axis: Axis): Seconds {
  const distance = Math.abs(distanceDegrees);
  const { speed, acceleration } = axis;
  if (distance * acceleration <= speed * speed) return 2 * Math.sqrt(distance / acceleration);
  return distance / speed + speed / acceleration;
}

/** The shorter turn from one direction to another on a full circle, 0 to 180. */
export function shorterTurnDegrees(fromDegrees: Degrees, toDegrees: Degrees): Degrees {
  const apart = Math.abs(toDegrees - fromDegrees);
  const turn = apart < 360 ? apart : apart % 360;
  return turn > 180 ? 360 - turn : turn;
}
