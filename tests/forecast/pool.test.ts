/** Worker threads give the same spread as the main thread; from the compiled program, as workers cannot load TypeScript. */
import { pathToFileURL } from "node:url";
import { afterAll, describe, expect, it } from "vitest";
import { priorBeliefs } from "../../src/forecast/learn/beliefs.js";
import type * as Pool from "../../src/forecast/pool.js";
import { spreadOf } from "../../src/forecast/spread.js";
import { randomNight, ternHollow } from "./random-night.js";

const { openSpreadPool }: typeof Pool = await import(pathToFileURL("dist/forecast/pool.js").href);
const pool = openSpreadPool();
afterAll(() => pool.close());

const beliefs = priorBeliefs(
  { arrivalsPerHour: 6, overheadScatter: 0.15, openMinutes: 240, closedMinutes: 20, failureFraction: 0.02 },
  ternHollow,
);

describe("spread workers", () => {
  it.each([
    ["one worker", 30, 50],
    ["two workers", 900, 60],
  ])("on %s give what the main thread gives", async (_, requests, runs) => {
    const night = randomNight({ seed: 1, date: "2026-11-25", requests, targets: 30, tiers: 2 });
    const { ranges } = await pool.spread(night, beliefs, { runs, seed: 3 });
    expect(ranges).toEqual(spreadOf(night, beliefs, { runs, seed: 3 }).ranges);
  });

  it("have nothing to say when nothing waits", async () => {
    const night = { ...randomNight({ seed: 1, date: "2026-11-25", requests: 1, targets: 1 }), waiting: [] };
    expect((await pool.spread(night, beliefs, { runs: 10, seed: 1 })).ranges.size).toBe(0);
  });

  it("end what is under way with an error when they are let go", async () => {
    const other = openSpreadPool();
    const night = randomNight({ seed: 1, date: "2026-11-25", requests: 900, targets: 30 });
    const underWay = other.spread(night, beliefs, { runs: 400, seed: 1 });
    const ended = expect(underWay).rejects.toThrow();
    await other.close();
    await ended;
  });
});
