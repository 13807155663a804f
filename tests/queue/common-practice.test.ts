/**
 * What every class at a shared telescope expects of its queue (common practice, no source): of two groups
 * that ask for two targets at once, the higher target's requests all run first, and staff go before all.
 */
import { describe, expect, it } from "vitest";
import { HOUR } from "../../src/base/units.js";
import { playNight } from "../../src/forecast/play-night.js";
import type { Request } from "../../src/queue/request.js";
import { targetNights } from "../../src/queue/target-night.js";
import { loadCatalogue } from "../../src/sky/load-catalogue.js";
import type { Target } from "../../src/sky/target.js";
import { horizontalOf } from "../../src/sky/track.js";
import { emptyNight, request, ternHollow } from "../forecast/random-night.js";

const catalogue = loadCatalogue();
const target = (id: string): Target => catalogue.byId(id) as Target;
const night = emptyNight("2026-11-25");
const nowUnixMs = night.nowUnixMs + 8 * HOUR;

const altitude = (of: Target, unixMs: number): number =>
  horizontalOf(targetNights(unixMs, ternHollow)(of).track, unixMs, ternHollow.site).altitudeDegrees;

/** Twelve students of each group press at the same second, the two groups mixed. */
function twoGroups(alder: Target, birch: Target): Request[] {
  return Array.from({ length: 24 }, (_, index) =>
    request(index + 1, index % 2 === 0 ? alder : birch, {
      group: index % 2 === 0 ? "Alder" : "Birch",
      owner: `terminal:student-${index}`,
      tier: 1,
      askedUnixMs: nowUnixMs,
    }),
  );
}

describe("two groups ask for two targets at once in one tier", () => {
  const pairs = [
    ["M31", "M45"],
    ["M33", "M15"],
    ["NGC7789", "M34"],
  ] as const;

  it.each(pairs)("all of the higher of %s and %s run before any of the lower, in order of asking", (a, b) => {
    const { turns } = playNight({ ...night, nowUnixMs, waiting: twoGroups(target(a), target(b)) });
    const higher = altitude(target(a), nowUnixMs) > altitude(target(b), nowUnixMs) ? 1 : 0;
    const first = Array.from({ length: 12 }, (_, index) => 2 * index + (higher === 1 ? 1 : 2));
    const second = Array.from({ length: 12 }, (_, index) => 2 * index + (higher === 1 ? 2 : 1));
    expect(turns.map((turn) => turn.number)).toEqual([...first, ...second]);
  });

  it("a staff request for the lower target, asked last, goes before all", () => {
    const waiting = [
      ...twoGroups(target("M31"), target("M45")),
      request(25, target("M45"), { tier: 0, askedUnixMs: nowUnixMs }),
    ];
    const { turns } = playNight({ ...night, nowUnixMs, waiting });
    expect(turns[0]?.number).toBe(25);
    expect(turns[0]?.decider).toEqual({ by: "tier", tier: 0, otherTier: 1 });
    expect(turns).toHaveLength(25);
  });

  it("a later request for a target that stands higher overtakes those who waited", () => {
    const waiting = twoGroups(target("M15"), target("M15"));
    const late = request(25, target("M31"), { askedUnixMs: nowUnixMs + 1 });
    const { turns } = playNight({ ...night, nowUnixMs, waiting: [...waiting, late] });
    expect(turns[0]?.number).toBe(25);
    expect(turns[0]?.decider.by).toBe("altitude");
  });
});
