/** How high each group's target stands: one cosine and one sine serve them all. */
import type { UtcMillis } from "../base/units.js";
import type { Site } from "../sky/site.js";
import { siderealRadians, sinAltitude, type Track } from "../sky/track.js";
import type { Group } from "./queue-table.js";

/** An instant with the cosine and sine of the local sidereal angle; moved rather than made anew. */
export class SkyInstant {
  unixMs: UtcMillis = 0;
  cosTheta = 1;
  sinTheta = 0;

  constructor(private readonly site: Site) {}

  moveTo(unixMs: UtcMillis): void {
    const theta = siderealRadians(unixMs, this.site);
    this.unixMs = unixMs;
    this.cosTheta = Math.cos(theta);
    this.sinTheta = Math.sin(theta);
  }
}

export class GroupSky {
  /** NaN for planets and the Moon, so that their sine comes out as NaN and is then interpolated. */
  private readonly s0: Float64Array;
  private readonly s1: Float64Array;
  private readonly s2: Float64Array;
  private readonly tracks: readonly Track[];

  constructor(groups: readonly Group[]) {
    this.s0 = Float64Array.from(groups, ({ night: { track } }) =>
      track.nodes === null ? track.s0 : Number.NaN,
    );
    this.s1 = Float64Array.from(groups, ({ night }) => night.track.s1);
    this.s2 = Float64Array.from(groups, ({ night }) => night.track.s2);
    this.tracks = groups.map(({ night }) => night.track);
  }

  /** Sine of a group's true altitude: sin h = s0 + s1 cos θ + s2 sin θ. */
  sine(group: number, { unixMs, cosTheta, sinTheta }: SkyInstant): number {
    const sine = this.s0[group]! + this.s1[group]! * cosTheta + this.s2[group]! * sinTheta;
    return Number.isNaN(sine) ? sinAltitude(this.tracks[group]!, unixMs, cosTheta, sinTheta) : sine;
  }
}
