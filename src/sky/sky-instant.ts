/** An instant with the cosine and sine of the local sidereal angle: worked out once, they serve every target. */
import type { Radians, UtcMillis } from "../base/units.js";
import { siderealRadians } from "./sidereal.js";
import type { Site } from "./site.js";

/** Moved rather than made anew. */
export class SkyInstant {
  unixMs: UtcMillis = Number.NaN;
  /** The local sidereal angle θ. */
  theta: Radians = 0;
  cosTheta = 1;
  sinTheta = 0;

  constructor(private readonly site: Site) {}

  moveTo(unixMs: UtcMillis): void {
    if (unixMs === this.unixMs) return;
    this.unixMs = unixMs;
    this.theta = siderealRadians(unixMs, this.site);
    this.cosTheta = Math.cos(this.theta);
    this.sinTheta = Math.sin(this.theta);
  }
}
