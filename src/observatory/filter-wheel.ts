/** The filter wheel: which slot, and how far to turn. */
import type { Camera } from "./observatory.js";

/** Slots passed on the shorter way round a wheel of `slots` slots. */
export function wheelSteps(fromSlot: number, toSlot: number, slots: number): number {
  const forward = (((toSlot - fromSlot) % slots) + slots) % slots;
  return Math.min(forward, slots - forward);
}

/** Number of slots in the wheel, as the highest one in use says. */
export function wheelSlots(camera: Camera): number {
  return 1 + camera.filters.reduce((highest, filter) => Math.max(highest, filter.slot), 0);
}
