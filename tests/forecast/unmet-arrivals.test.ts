/** What was allowed for and did not come moves a start as well. */
import { expect, it } from "vitest";
import { HOUR, MINUTE } from "../../src/base/units.js";
import type { Beliefs } from "../../src/forecast/learn/beliefs.js";
import type { NightInput } from "../../src/forecast/night-run.js";
import { arrivalEffects } from "../../src/forecast/unmet-arrivals.js";
import type { Request } from "../../src/queue/request.js";
import { certainBeliefs } from "./certain-beliefs.js";
import { emptyNight, fixedTarget, request, ternHollow } from "./random-night.js";
import { steadyClass } from "./steady-class.js";

const high = fixedTarget("high", 0, 42);
const low = fixedTarget("low", 30, 20);
const empty = emptyNight("2026-11-25");
const nowUnixMs = empty.nowUnixMs + 8 * HOUR;
const ten = { exposureSeconds: 600, frames: 1 };
const told: NightInput = {
  ...empty,
  nowUnixMs,
  waiting: [...[1, 2, 3, 4, 5, 6].map((number) => request(number, high, ten)), request(7, low)],
};
/** Three an hour, all of them ten minutes on the high target, which runs first. */
const certain = certainBeliefs(ternHollow);
const believed: Beliefs = {
  ...certain,
  arrivals: {
    ...steadyClass(3, 16),
    targetMix: [{ target: high, weight: 1 }],
    requestShapes: [{ filter: "V", tier: 1, owner: "terminal:ines", ...ten }],
  },
};

function effects(came: readonly Request[], hours: number): ReadonlyMap<number, number> {
  const runs = arrivalEffects(told, believed, came, nowUnixMs + hours * HOUR, { runs: 60, seed: 1 });
  for (;;) {
    const run = runs.next();
    if (run.done) return run.value;
  }
}

it("a start comes earlier when nobody came, later when more came, and hardly moves when as many came", () => {
  const came = (count: number) =>
    Array.from({ length: count }, (_, index) =>
      request(8 + index, high, { ...ten, askedUnixMs: nowUnixMs + (index + 1) * MINUTE }),
    );
  const minutes = (count: number) => (effects(came(count), 1).get(7) as number) / MINUTE;
  expect(minutes(0)).toBeLessThan(-25);
  expect(Math.abs(minutes(3))).toBeLessThan(12);
  expect(minutes(8)).toBeGreaterThan(25);
  expect(effects([], 1).get(1)).toBe(0);
});

it("the same seed gives the same answer, and an instant later nothing has been missed", () => {
  expect(effects([], 1)).toEqual(effects([], 1));
  expect(effects([], 0).get(7)).toBe(0);
});
