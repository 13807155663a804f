/** How high each group's target stands: one cosine and one sine serve them all. */
import type { SkyInstant } from "../sky/sky-instant.js";
import { sinAltitude, type Track } from "../sky/track.js";
import type { Group } from "./queue-table.js";

export class GroupSky {
  /** NaN for planets and the Moon, so that their sine comes out as NaN and is then interpolated. */
  private readonly s0: Float64Array;
  private readonly s1: Float64Array;
  private readonly s2: Float64Array;
  private readonly tracks: readonly Track[];

  constructor(groups: readonly Group[]) {
    this.tracks = groups.map(({ night }) => night.track);
    this.s0 = new Float64Array(groups.length);
    this.s1 = new Float64Array(groups.length);
    this.s2 = new Float64Array(groups.length);
    this.tracks.forEach(({ s0, s1, s2, nodes }, group) => {
      this.s0[group] = nodes === null ? s0 : Number.NaN;
      this.s1[group] = s1;
      this.s2[group] = s2;
    });
  }

  /** Sine of a group's true altitude: sin h = s0 + s1 cos θ + s2 sin θ. */
  sine(group: number, { unixMs, cosTheta, sinTheta }: SkyInstant): number {
    const sine = this.s0[group]! + this.s1[group]! * cosTheta + this.s2[group]! * sinTheta;
    return Number.isNaN(sine) ? sinAltitude(this.tracks[group]!, unixMs, cosTheta, sinTheta) : sine;
  }
}
