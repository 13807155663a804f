/** The spread: the same night as the central run, with chance in it. */
import { describe, expect, it } from "vitest";
import { certainBeliefs } from "../../src/forecast/beliefs.js";
import { playNight } from "../../src/forecast/play-night.js";
import { spreadOf } from "../../src/forecast/spread.js";
import { RULE_NAMES } from "../../src/queue/request.js";
import { observatoryAt, randomNight } from "./random-night.js";

describe("without anything uncertain", () => {
  it.each(RULE_NAMES)("every run under %s is the central run, to the millisecond", (rule) => {
    for (const observatory of [undefined, observatoryAt(-30, 20, "Africa/Johannesburg")])
      for (let seed = 1; seed <= 5; seed++) {
        const night = randomNight({
          seed,
          date: "2026-11-25",
          requests: 120,
          targets: 30,
          rule,
          tiers: 2,
          ...(observatory ? { observatory } : {}),
        });
        const { ranges } = spreadOf(night, certainBeliefs(night.observatory), { runs: 2, seed: 1 });
        const central = playNight(night);
        for (const turn of central.turns) {
          expect(ranges.get(turn.number)).toEqual({
            number: turn.number,
            medianUnixMs: turn.takenUnixMs,
            lowUnixMs: turn.takenUnixMs,
            highUnixMs: turn.takenUnixMs,
            chanceTonight: 1,
          });
        }
        for (const number of central.withoutTurn.keys()) expect(ranges.get(number)?.chanceTonight).toBe(0);
      }
  });
});
