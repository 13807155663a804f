/** A planned night gets more done than any other rule on full nights, and loses nothing with time to spare. */

import { describe, expect, it } from "vitest";
import { DAY, HOUR } from "../../src/base/units.js";
import type { NightInput } from "../../src/forecast/night-run.js";
import { playNight } from "../../src/forecast/play-night.js";
import { figuresOf } from "../../src/forecast/run-figures.js";
import type { Observatory } from "../../src/observatory/observatory.js";
import { RULE_NAMES } from "../../src/queue/request.js";
import { observatoryAt, randomNight, ternHollow } from "../forecast/random-night.js";

const places: readonly Observatory[] = [
  ternHollow,
  observatoryAt(-33, 149, "Australia/Sydney"),
  observatoryAt(55, 12, "Europe/Stockholm"),
];
const dates = ["2026-02-03", "2026-09-09"];
/** Requests, targets, longest exposure: from many short ones for few targets to four times too many. */
const loads = [
  [400, 30, 60],
  [300, 60, 300],
  [900, 60, 300],
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

const mean = (values: readonly number[]): number =>
  values.reduce((sum, each) => sum + each, 0) / values.length;

describe("planned on full nights of two seasons in both hemispheres", () => {
  const nights = fullNights().map((night) => {
    const highest = playNight(night);
    const planned = playNight({ ...night, rule: "planned" });
    return { gain: planned.turns.length / highest.turns.length - 1, load: night.waiting.length };
  });

  it.each(loads)("completes more of %i requests for %i targets than highest-first, every night", (load) => {
    const gains = nights.filter((night) => night.load === load).map(({ gain }) => gain);
    expect(mean(gains)).toBeGreaterThan(0.2);
    expect(Math.min(...gains)).toBeGreaterThan(0);
  });

  it("plans the first tier as if it were alone", () => {
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
    expect(ofFirstTier.length).toBeGreaterThanOrEqual(alone.turns.length);
  });
});

describe("a request left out", () => {
  const night = randomNight({ seed: 11, date: "2026-11-25", requests: 250, targets: 40, rule: "planned" });
  const { withoutTurn } = playNight(night);
  const left = night.waiting
    .filter(({ number }) => withoutTurn.get(number)?.why === "no-time")
    .filter((each) => playNight({ ...night, waiting: [each] }).turns.length === 1)
    .slice(0, 5);
  const askedNightsAgo = (nights: number): Set<number> => {
    const numbers = new Set(left.map(({ number }) => number));
    const waiting = night.waiting.map((each) =>
      numbers.has(each.number) ? { ...each, askedUnixMs: each.askedUnixMs - nights * DAY } : each,
    );
    const { turns } = playNight({ ...night, waiting });
    return new Set(turns.map(({ number }) => number).filter((number) => numbers.has(number)));
  };

  it("is told of where rules are compared, the longest exposures first", () => {
    const { droppedSeconds } = figuresOf(playNight(night), night);
    const seconds = new Map(night.waiting.map((each) => [each.number, each.frames * each.exposureSeconds]));
    const dropped = [...withoutTurn].filter(([, { why }]) => why === "no-time");
    expect(droppedSeconds).toEqual(
      dropped.map(([number]) => seconds.get(number) as number).sort((a, b) => b - a),
    );
  });

  it("on two nights is not left out on a third", () => {
    expect(left).toHaveLength(5);
    expect(askedNightsAgo(1).size).toBeLessThan(3);
    const alone = playNight({ ...night, waiting: left }).turns.length;
    expect(alone).toBeGreaterThan(3);
    expect(askedNightsAgo(2).size).toBe(alone);
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
});
