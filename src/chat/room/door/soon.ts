/** Short waits in words. */
import { MINUTE, type Millis, SECOND } from "../../../base/units.js";

/** "8 s" or "5 min", never less than the wait. */
export function soon(wait: Millis): string {
  return wait <= MINUTE ? `${Math.ceil(wait / SECOND)} s` : `${Math.ceil(wait / MINUTE)} min`;
}
