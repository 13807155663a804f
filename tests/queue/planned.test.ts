/**
 * The look-ahead earns its name: more requests done than highest-first on full nights, at no worse airmass, and
 * with time to spare about as many as any rule.
 */

import { describe, expect, it } from "vitest";
import { HOUR } from "../../src/base/units.js";
import type { NightInput, NightRun } from "../../src/forecast/night-run.js";
import { playNight } from "../../src/forecast/play-night.js";
import type { Observatory } from "../../src/observatory/observatory.js";
import { RULE_NAMES } from "../../src/queue/request.js";
import { airmassAtTrue } from "../../src/sky/airmass.js";
import { observatoryAt, randomNight, ternHollow } from "../forecast/random-night.js";

const places: readonly Observatory[] = [
  ternHollow,
  observatoryAt(-33, 149, "Australia/Sydney"),
  observatoryAt(55, 12, "Europe/Stockholm"),
];
const dates = ["2026-02-03", "2026-04-28", "2026-09-09", "2026-11-25"];
/** Requests, targets, longest exposure: from many short ones for few targets to four times too many. */
const loads = [
  [400, 30, 60],
  [300, 60, 300],
  [900, 60, 300],
  [2000, 120, 120],
] as const;

function fullNights(): NightInput[] {
  return places.flatMap((observatory, place) =>
    dates.flatMap((date, season) =>
      loads.map(([requests, targets, longestSeconds], load) =>
        randomNight({
          seed: 40_000 + place * 100 + season * 10 + load,
          date,
          requests,
          targets,
          longestSeconds,
          observatory,
        }),
      ),
    ),
  );
}

const meanAirmass = ({ turns }: NightRun): number =>
  turns.reduce((sum, turn) => sum + airmassAtTrue(turn.altitudeDegrees), 0) / turns.length;
const mean = (values: readonly number[]): number =>
  values.reduce((sum, each) => sum + each, 0) / values.length;

describe("planned against highest-first on full nights of four seasons in both hemispheres", () => {
  const nights = fullNights().map((night) => {
    const highest = playNight(night);
    const planned = playNight({ ...night, rule: "planned" });
    return {
      gain: planned.turns.length / highest.turns.length - 1,
      airmass: meanAirmass(planned) - meanAirmass(highest),
      load: night.waiting.length,
    };
  });

  it.each(loads)("completes more of %i requests for %i targets, at no worse mean airmass", (load) => {
    const ofLoad = nights.filter((night) => night.load === load);
    expect(mean(ofLoad.map((night) => night.gain))).toBeGreaterThan(0.05);
    expect(mean(ofLoad.map((night) => night.airmass))).toBeLessThanOrEqual(0);
  });

  it("does so in nearly every night, and is never far off in the others", () => {
    const better = nights.filter((night) => night.gain > 0 && night.airmass <= 0);
    expect(better.length / nights.length).toBeGreaterThan(0.8);
    expect(Math.min(...nights.map((night) => night.gain))).toBeGreaterThan(-0.1);
    expect(Math.max(...nights.map((night) => night.airmass))).toBeLessThan(0.1);
  });

  it("still lets the first tier go first", () => {
    const night = randomNight({ seed: 3, date: "2026-11-25", requests: 200, targets: 20, tiers: 2 });
    const { turns } = playNight({ ...night, rule: "planned" });
    const tiers = new Map(night.waiting.map((each) => [each.number, each.tier]));
    for (const turn of turns) {
      if (turn.decider.by !== "tier") continue;
      expect(tiers.get(turn.number)).toBe(0);
    }
    const alone = playNight({
      ...night,
      rule: "planned",
      waiting: night.waiting.filter((each) => each.tier === 0),
    });
    const ofFirstTier = turns.filter((turn) => tiers.get(turn.number) === 0);
    expect(ofFirstTier.slice(0, 20).map((turn) => turn.number)).toEqual(
      alone.turns.slice(0, 20).map((turn) => turn.number),
    );
  });
});

describe("planned on nights with time to spare", () => {
  /** Requests, targets, hours after noon: an hour or two of work, asked for in the evening. */
  const evenings = [
    [8, 8, 6],
    [14, 12, 8],
    [30, 20, 6],
    [60, 30, 6],
  ] as const;
  const nights = places.flatMap((observatory, place) =>
    dates.flatMap((date, season) =>
      evenings.map(([requests, targets, hours], load) => {
        const seed = 60_000 + place * 100 + season * 10 + load;
        const night = randomNight({ seed, date, requests, targets, observatory });
        return { ...night, nowUnixMs: night.nowUnixMs + (hours - 4) * HOUR };
      }),
    ),
  );
  const doneUnder = (rule: (typeof RULE_NAMES)[number]): number[] =>
    nights.map((night) => playNight({ ...night, rule }).turns.length);
  const all = RULE_NAMES.map(doneUnder);
  const done = all[RULE_NAMES.indexOf("planned")] as number[];
  const sum = (values: readonly number[]): number => values.reduce((total, each) => total + each, 0);

  it("loses hardly any that another rule would have done, and fewer than highest-first", () => {
    const most = nights.map((_, index) => Math.max(...all.map((each) => each[index] as number)));
    expect(sum(done)).toBeGreaterThan(0.99 * sum(most));
    expect(sum(done)).toBeGreaterThan(sum(all[RULE_NAMES.indexOf("highest-first")] as number[]));
  });

  it("says so where it puts a request first that would set meanwhile", () => {
    const turns = nights.flatMap((night) => playNight({ ...night, rule: "planned" }).turns);
    const parts = turns.flatMap(({ decider }) => (decider.by === "plan" ? decider.parts : []));
    expect(parts.filter(({ what }) => what === "setting").length).toBeGreaterThan(0);
  });
});
