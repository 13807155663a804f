/** How far the machines have to turn, and how long one motor-driven axis takes for it. */
import type { Degrees, Seconds } from "../base/units.js";
import type { Axis, Camera } from "./observatory.js";

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

/** Slots passed on the shorter way round a wheel of `slots` slots. */
export function wheelSteps(fromSlot: number, toSlot: number, slots: number): number {
  const forward = (((toSlot - fromSlot) % slots) + slots) % slots;
  return Math.min(forward, slots - forward);
}

/** Number of slots in the wheel, as the highest one in use says. */
export function wheelSlots(camera: Camera): number {
  return 1 + camera.filters.reduce((highest, filter) => Math.max(highest, filter.slot), 0);
}
