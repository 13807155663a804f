/** What a target's light and size come to at an instant, whatever kind of target it is. */
import type { UtcMillis } from "../base/units.js";
import { appearanceOf } from "./appearance.js";
import { orbitMagnitude } from "./small-bodies/brightness.js";
import type { Target } from "./target.js";

/** Visual magnitude of the whole; null where none is known. */
export function magnitudeAt(target: Target, unixMs: UtcMillis): number | null {
  switch (target.kind) {
    case "fixed":
      return target.magnitude;
    case "body":
      return appearanceOf(target.body, unixMs).magnitude;
    case "orbit":
      return orbitMagnitude(target.orbit, unixMs);
  }
}

/** Largest apparent size, arc minutes; null where none is known, and for points of light. */
export function sizeAt(target: Target, unixMs: UtcMillis): number | null {
  switch (target.kind) {
    case "fixed":
      return target.sizeArcminutes;
    case "body":
      return appearanceOf(target.body, unixMs).diameterArcseconds / 60;
    case "orbit":
      return null;
  }
}
