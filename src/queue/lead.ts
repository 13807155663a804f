/** Who stood highest at the last full look, and for how long nobody can overtake: saves most looks. */
import { type Millis, RADIANS_PER_DEGREE } from "../base/units.js";
import { siderealGain } from "../sky/sidereal.js";
import type { Site } from "../sky/site.js";
import { NONE } from "./queue-table.js";

/** Planets and the Moon move a little themselves. */
const ALLOWANCE = 1.05;

export class Lead {
  group = NONE;
  private untilUnixMs = Number.NEGATIVE_INFINITY;
  private openList = NONE;
  /** How fast one sine of altitude can gain on another: d(sin h)/dt is at most cos φ times the Earth's turning. */
  private readonly gainPerMs: number;

  constructor(site: Site) {
    const cosLatitude = Math.cos(site.latitudeDegrees * RADIANS_PER_DEGREE);
    this.gainPerMs = 2 * cosLatitude * siderealGain(1) * ALLOWANCE;
  }

  /** Notes a full look at one list of open groups: the highest, and how far the next one was below it. */
  set(group: number, leadSine: number, unixMs: Millis, openList: number): void {
    this.group = group;
    this.openList = openList;
    this.untilUnixMs = unixMs + leadSine / this.gainPerMs;
  }

  /** Whether that group must still be the highest of the same list. */
  holds(unixMs: Millis, openList: number): boolean {
    return unixMs < this.untilUnixMs && openList === this.openList;
  }
}
