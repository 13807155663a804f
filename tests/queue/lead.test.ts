/** How long the highest of a queue may be trusted to stay it without another look. */
import { describe, expect, it } from "vitest";
import { HOUR, MINUTE } from "../../src/base/units.js";
import { Lead } from "../../src/queue/lead.js";
import { ternHollow } from "../forecast/random-night.js";

const { site } = ternHollow;
const NOW = Date.UTC(2026, 10, 26, 3);
const OPEN = 1;

/** Until when, in milliseconds from now, a lead of so much in sin(altitude) holds at a latitude. */
function heldFor(latitudeDegrees: number, leadSine: number): number {
  const lead = new Lead({ ...site, latitudeDegrees });
  lead.set(7, leadSine, NOW, OPEN);
  let [holds, over] = [0, 24 * HOUR];
  while (over - holds > 1) {
    const middle = (holds + over) / 2;
    if (lead.holds(NOW + middle, OPEN)) holds = middle;
    else over = middle;
  }
  return holds;
}

describe("a lead in height", () => {
  it("lasts longer the less the sky turns up and down: as the secant of latitude", () => {
    expect(heldFor(60, 0.1) / heldFor(0, 0.1)).toBeCloseTo(2, 3);
    expect(heldFor(45, 0.1) / heldFor(0, 0.1)).toBeCloseTo(Math.SQRT2, 3);
    expect(heldFor(45, 0.2) / heldFor(45, 0.1)).toBeCloseTo(2, 3);
  });

  it("ends a little before the fastest rival, rising due east against one that sets due west, has made it up", () => {
    // On the equator sin(altitude) of such a pair is ± sin of the hour angle, which grows by 15.04° an hour.
    const rivalMs = (Math.asin(0.05) / ((15.041 * Math.PI) / 180)) * HOUR;
    expect(heldFor(0, 0.1)).toBeLessThan(rivalMs);
    expect(heldFor(0, 0.1)).toBeGreaterThan(0.9 * rivalMs);
  });

  it("is of one list of open targets only, and of nobody before the first look", () => {
    const lead = new Lead(site);
    expect(lead.holds(NOW, OPEN)).toBe(false);
    lead.set(7, 0.1, NOW, OPEN);
    expect(lead.group).toBe(7);
    expect(lead.holds(NOW + MINUTE, OPEN)).toBe(true);
    expect(lead.holds(NOW + MINUTE, OPEN + 1)).toBe(false);
  });
});
