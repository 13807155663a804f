/** Ranges at hand: worked out behind the scenes, shown without waiting, learned from, kept in the journal. */

import { describe, expect, it } from "vitest";
import { silentLog } from "../../src/base/log.js";
import { HOUR, MINUTE } from "../../src/base/units.js";
import type { Config } from "../../src/config/config.js";
import { loadConfig } from "../../src/config/load.js";
import type { Estimate } from "../../src/estimates/forecast-service.js";
import { type OpenForecast, openForecast } from "../../src/estimates/open-forecast.js";
import { rememberTold } from "../../src/estimates/told.js";
import { freshCalibration } from "../../src/forecast/learn/calibration.js";
import { openSpreadPool, type Ranges, type SpreadPool, spreadHere } from "../../src/forecast/pool.js";
import { spreadOf } from "../../src/forecast/spread.js";
import type { Desk } from "../../src/journal/desk.js";
import type { Entry, NightslateEvent } from "../../src/journal/events.js";
import { applyEntry, emptyState } from "../../src/journal/fold.js";
import { openMemoryDesk } from "../../src/journal/open-desk.js";
import { type ExplainMoves, watchEstimates } from "../../src/notices/watch-estimates.js";
import { airmassAtTrue } from "../../src/sky/airmass.js";
import { nightNamed } from "../../src/sky/night.js";
import type { Target } from "../../src/sky/target.js";
import { ManualClock } from "../../src/tools/manual-clock.js";
import { fixedTarget } from "../forecast/random-night.js";

const config: Config = loadConfig(new URL("../../config/tern-hollow.yaml", import.meta.url).pathname);
const night = nightNamed("2026-11-25", config.observatory.site.timeZone);
const EVENING = night.startUnixMs + 8 * HOUR;
const up = fixedTarget("up", 0, 42);

/** Longer than is played at once. */
const MANY = 40;

class Scene {
  readonly clock = new ManualClock(EVENING);
  readonly desk: Desk = openMemoryDesk({ clock: this.clock, derive: () => [] });
  readonly forecast: OpenForecast;
  /** Spreads asked for and not yet delivered. */
  readonly waiting: (() => void)[] = [];

  constructor(slow: boolean) {
    const { clock, desk } = this;
    this.forecast = openForecast({ desk, config, clock, pool: slow ? this.slowPool() : openSpreadPool() });
  }

  ask(number: number, changes: { tier?: number; frames?: number; target?: Target } = {}): Promise<unknown> {
    const { tier = 1, frames = 2, target = up } = changes;
    return this.happen({
      type: "request.made",
      number,
      wish: { target, filter: "V", exposureSeconds: 60, frames, notBeforeUnixMs: null, note: null },
      owner: `terminal:student-${number % 9}`,
      classId: "evening-2",
      group: null,
      tier,
      via: { surface: "terminal", channel: "class" },
    });
  }

  async askMany(count: number): Promise<void> {
    for (let number = 1; number <= count; number++) await this.ask(number);
  }

  happen(...events: NightslateEvent[]): Promise<unknown> {
    return this.desk.act(() => events, { by: "test" });
  }

  async take(): Promise<number> {
    const step = this.forecast.nextStep();
    if (step.do !== "take") throw new Error("something can be taken");
    const { number, freeUnixMs, altitudeDegrees, pointingAfter } = step.turn;
    const airmass = airmassAtTrue(altitudeDegrees);
    await this.happen({ type: "request.taken", number, freeUnixMs, altitudeDegrees, airmass, pointingAfter });
    return number;
  }

  /** What was asked for arrives; whatever follows from that has happened. */
  async deliver(): Promise<void> {
    await this.quiet();
    for (const deliver of this.waiting.splice(0)) deliver();
    await this.quiet();
  }

  async quiet(): Promise<void> {
    for (let turn = 0; turn < 20; turn++) await new Promise<void>((done) => setImmediate(done));
  }

  async entries(): Promise<Entry[]> {
    const all: Entry[] = [];
    for await (const entry of this.desk.entries()) all.push(entry);
    return all;
  }

  private slowPool(): SpreadPool {
    return {
      spread: (input, beliefs, options) =>
        new Promise<Ranges>((done) => {
          this.waiting.push(() => done(spreadOf(input, beliefs, options)));
        }),
      plan: spreadHere.plan,
      close: async () => {},
    };
  }
}

describe("a short queue", () => {
  it("has a median within its range, and a chance, at once", async () => {
    const scene = new Scene(false);
    await scene.askMany(8);
    for (const estimate of scene.forecast.order()) {
      const startUnixMs = estimate.startUnixMs as number;
      const earliestUnixMs = estimate.earliestUnixMs as number;
      const latestUnixMs = estimate.latestUnixMs as number;
      expect(earliestUnixMs).toBeGreaterThanOrEqual(EVENING);
      expect(latestUnixMs - earliestUnixMs).toBeGreaterThanOrEqual(MINUTE);
      expect(startUnixMs).toBeGreaterThanOrEqual(earliestUnixMs);
      expect(startUnixMs).toBeLessThanOrEqual(latestUnixMs);
      expect(estimate.chanceTonight).toBeGreaterThan(0.8);
    }
    expect(scene.forecast.estimate(8)).toEqual(scene.forecast.order().at(-1));
  });

  it("never has a range that begins before the window opens", async () => {
    const scene = new Scene(false);
    const rising = fixedTarget("rising", 150, 20);
    await scene.ask(1, { target: rising });
    const estimate = scene.forecast.estimate(1);
    const opens = estimate?.notBeforeUnixMs as number;
    expect(opens).toBeGreaterThan(EVENING + HOUR);
    expect(estimate?.turn?.takenUnixMs).toBe(opens);
    expect(estimate?.earliestUnixMs).toBeGreaterThanOrEqual(opens);
    await scene.ask(2);
    expect(scene.forecast.estimate(2)?.notBeforeUnixMs).toBeUndefined();
  });

  it("promises no start under a hold without an end, and gives the chance all the same", async () => {
    const scene = new Scene(false);
    await scene.askMany(3);
    const hold = { reason: "cloud", by: "terminal:quill", sinceUnixMs: EVENING, untilUnixMs: null };
    await scene.happen({ type: "hold.placed", hold });
    const held = scene.forecast.estimate(1);
    expect(held?.startUnixMs).toBeNull();
    expect(held?.chanceTonight).toBeGreaterThan(0.5);
    expect(held?.chanceTonight).toBeLessThan(1);
  });
});

describe("a long queue", () => {
  it("is answered from the central run until the first spread is there, then with ranges", async () => {
    const scene = new Scene(true);
    await scene.askMany(MANY);
    const early = scene.forecast.estimate(30);
    expect(early?.earliestUnixMs).toBe(early?.startUnixMs);
    let settled = false;
    void scene.forecast.settled().then(() => {
      settled = true;
    });
    await Promise.resolve();
    expect(settled).toBe(false);
    await scene.deliver();
    expect(settled).toBe(true);
    const late = scene.forecast.estimate(30);
    expect(late?.latestUnixMs).toBeGreaterThan((late?.earliestUnixMs as number) + MINUTE);
  });

  it("gives a new request the distance of its neighbours while the spread is worked out, near what it will be", async () => {
    const scene = new Scene(true);
    await scene.askMany(MANY);
    scene.forecast.order();
    await scene.deliver();
    await scene.ask(MANY + 1);
    const told = scene.forecast.estimate(MANY + 1)?.startUnixMs as number;
    expect(told).not.toBe(scene.forecast.estimate(MANY + 1)?.turn?.takenUnixMs);
    await scene.deliver();
    const shown = scene.forecast.estimate(MANY + 1)?.startUnixMs as number;
    expect(Math.abs(shown - told)).toBeLessThan(config.notices.movedMinutes * MINUTE);
  });

  it("tells nobody that an estimate moved because the ranges arrived after the reply", async () => {
    const scene = new Scene(true);
    const { desk, forecast, clock } = scene;
    await scene.askMany(MANY);
    forecast.order();
    const explainMoves: ExplainMoves = async (moves) => moves.map(() => "anything at all");
    const watch = watchEstimates({ desk, forecast, clock, config, explainMoves });
    await scene.deliver();
    await scene.ask(MANY + 1);
    rememberTold([forecast.estimate(MANY + 1) as Estimate], { desk });
    for (let minute = 1; minute <= 4; minute++) {
      await clock.moveTo(EVENING + minute * MINUTE);
      await scene.deliver();
    }
    await scene.deliver();
    await watch.stop();
    const types = (await scene.entries()).flatMap(({ events }) => events.map(({ type }) => type));
    expect(types).toContain("estimates.told");
    expect(types).not.toContain("estimates.moved");
  });

  it("works out one spread for all that happened while the last was under way", async () => {
    const scene = new Scene(true);
    await scene.askMany(MANY);
    scene.forecast.order();
    for (let number = MANY + 1; number <= MANY + 6; number++) {
      await scene.ask(number);
      scene.forecast.order();
    }
    await scene.quiet();
    expect(scene.waiting).toHaveLength(1);
    await scene.deliver();
    expect(scene.waiting).toHaveLength(1);
    await scene.deliver();
    expect(scene.waiting).toHaveLength(0);
  });

  it("goes on with what it has when a worker fails", async () => {
    const scene = new Scene(false);
    const { desk, clock } = scene;
    const faults: unknown[] = [];
    const pool: SpreadPool = {
      spread: () => Promise.reject(new Error("out of memory")),
      plan: spreadHere.plan,
      close: async () => {},
    };
    const log = { ...silentLog, error: (details: object) => faults.push(details) };
    const forecast = openForecast({ desk, config, clock, pool, log });
    await scene.askMany(MANY);
    expect(forecast.order()).toHaveLength(MANY);
    await forecast.settled();
    expect(faults).toEqual([{ reason: "out of memory" }]);
    expect(forecast.estimate(3)?.startUnixMs).toBeGreaterThan(EVENING);
  });
});

describe("what is learned", () => {
  it("is journalled when a forecast request is taken, and a restart keeps it", async () => {
    const scene = new Scene(false);
    await scene.askMany(6);
    scene.forecast.order();
    await scene.clock.moveTo(EVENING + MINUTE);
    const number = await scene.take();
    await scene.clock.moveTo(scene.clock.now() + 1_000);
    await scene.deliver();
    const entries = await scene.entries();
    const scored = entries.flatMap(({ events }) =>
      events.flatMap((event) => (event.type === "forecast.scored" ? [event] : [])),
    );
    expect(scored).toMatchObject([
      { number, outcomes: [{ level: expect.any(Number) }], chances: [{ came: true }] },
    ]);
    expect(scene.desk.state.calibration).not.toEqual(freshCalibration());
    const again = emptyState();
    for (const entry of entries) applyEntry(again, entry);
    expect(again.calibration).toEqual(scene.desk.state.calibration);
    await scene.forecast.close();
  });

  it("comes from whole actions where the telescope tells no parts apart", async () => {
    const scene = new Scene(false);
    await scene.askMany(8);
    for (let turn = 0; turn < 6; turn++) {
      const number = await scene.take();
      const { freeUnixMs, takenUnixMs } = scene.desk.state.taken as {
        freeUnixMs: number;
        takenUnixMs: number;
      };
      const overheadMs = (freeUnixMs - takenUnixMs - 120_000) / scene.forecast.overheads().readOut;
      await scene.clock.moveTo(Math.round(takenUnixMs + 120_000 + 1.3 * overheadMs));
      await scene.happen({ type: "request.completed", number });
      await scene.quiet();
    }
    for (const factor of Object.values(scene.forecast.overheads())) expect(factor).toBeCloseTo(1.3, 2);
    expect(scene.desk.state.overheadSamples).toHaveLength(6);
  });

  it("leaves whole actions alone where their parts were measured", async () => {
    const scene = new Scene(false);
    await scene.ask(1);
    const number = await scene.take();
    const samples = [{ component: "dome" as const, configuredMs: 9_000, measuredMs: 9_000 }];
    await scene.happen(
      { type: "overheads.measured", number, samples },
      { type: "request.completed", number },
    );
    await scene.quiet();
    expect(scene.desk.state.overheadSamples).toEqual(samples);
  });

  it("slows the central run and the telescope's own steps as the machines were measured to be slow", async () => {
    const scene = new Scene(false);
    await scene.ask(1);
    const before = scene.forecast.nextStep();
    const samples = Array.from({ length: 6 }, () => ({
      component: "settle" as const,
      configuredMs: 4_000,
      measuredMs: 6_000,
    }));
    await scene.happen({ type: "overheads.measured", number: 1, samples });
    expect(scene.forecast.overheads()).toMatchObject({ dome: 1, settle: expect.closeTo(1.5, 6) });
    const after = scene.forecast.nextStep();
    if (before.do !== "take" || after.do !== "take") throw new Error("it can be taken");
    expect(after.turn.times.settleMs).toBe(6_000);
    expect(before.turn.times.settleMs).toBe(4_000);
  });
});
