/** The forecast over a desk: estimates for what waits now, right across holds, noon, dusk and full nights. */

import { beforeEach, describe, expect, it } from "vitest";
import { HOUR, MINUTE, type UtcMillis } from "../../src/base/units.js";
import type { Config } from "../../src/config/config.js";
import { loadConfig } from "../../src/config/load.js";
import type { ForecastService } from "../../src/estimates/forecast-service.js";
import { openForecast } from "../../src/estimates/open-forecast.js";
import type { Desk } from "../../src/journal/desk.js";
import type { NightslateEvent } from "../../src/journal/events.js";
import { openMemoryDesk } from "../../src/journal/open-desk.js";
import type { Wish } from "../../src/queue/request.js";
import { airmassAtTrue } from "../../src/sky/airmass.js";
import { nightNamed } from "../../src/sky/night.js";
import { ManualClock } from "../../src/tools/manual-clock.js";
import { fixedTarget } from "../forecast/random-night.js";

const config: Config = loadConfig(new URL("../../config/tern-hollow.yaml", import.meta.url).pathname);
const night = nightNamed("2026-11-25", config.observatory.site.timeZone);
const EVENING = night.startUnixMs + 8 * HOUR;
const up = fixedTarget("up", 0, 42);
const lower = fixedTarget("lower", 60, 10);
/** Up in the early night of May, by day in November. */
const spring = fixedTarget("spring", 240, -20);

let clock: ManualClock;
let desk: Desk;
let forecast: ForecastService;

function openAt(unixMs: UtcMillis): void {
  clock = new ManualClock(unixMs);
  desk = openMemoryDesk({ clock, derive: () => [] });
  forecast = openForecast({ desk, config, clock });
}

const happen = (...events: NightslateEvent[]): Promise<unknown> => desk.act(() => events, { by: "test" });

function ask(number: number, changes: Partial<Wish> = {}): Promise<unknown> {
  const wish = { target: up, filter: "V", exposureSeconds: 60, frames: 1, notBeforeUnixMs: null, note: null };
  return happen({
    type: "request.made",
    number,
    wish: { ...wish, ...changes },
    owner: "terminal:mira",
    classId: "evening-2",
    group: null,
    tier: 1,
    via: { surface: "terminal", channel: "class" },
  });
}

const starts = (): (UtcMillis | null)[] => forecast.order().map((each) => each.startUnixMs);
const numbers = (): number[] => forecast.order().map((each) => each.number);

beforeEach(() => openAt(EVENING));

describe("the forecast service", () => {
  it("has nothing to say when nothing waits", () => {
    expect(forecast.central().turns).toEqual([]);
    expect(forecast.order()).toEqual([]);
    expect(forecast.estimate(1)).toBeNull();
    expect(forecast.nextStep()).toMatchObject({ do: "wait", because: "no-requests" });
  });

  it("gives place and start in the order in which they will run", async () => {
    await ask(1, { target: lower });
    await ask(2);
    expect(numbers()).toEqual([2, 1]);
    expect(forecast.estimate(2)).toMatchObject({ place: 1, startUnixMs: EVENING, chanceTonight: 1 });
    const first = forecast.estimate(2)?.turn;
    expect(forecast.estimate(1)).toMatchObject({ place: 2, startUnixMs: first?.freeUnixMs, noTurn: null });
  });

  it("works out a new run for a new state and a new minute, and not otherwise", async () => {
    await ask(1);
    const run = forecast.central();
    expect(forecast.central()).toBe(run);
    await clock.moveTo(EVENING + MINUTE);
    expect(forecast.central()).not.toBe(run);
    expect(starts()).toEqual([EVENING + MINUTE]);
    await ask(2);
    expect(forecast.central().turns).toHaveLength(2);
  });

  it("gives the one being observed place 0, and the others the time when the telescope is free", async () => {
    await ask(1);
    await ask(2);
    const step = forecast.nextStep();
    if (step.do !== "take") throw new Error("something can be taken");
    const { turn } = step;
    await happen({
      type: "request.taken",
      number: turn.number,
      freeUnixMs: turn.freeUnixMs,
      altitudeDegrees: turn.altitudeDegrees,
      airmass: airmassAtTrue(turn.altitudeDegrees),
      pointingAfter: turn.pointingAfter,
    });
    expect(forecast.estimate(1)).toMatchObject({ place: 0, startUnixMs: EVENING, chanceTonight: 1 });
    expect(forecast.estimate(2)).toMatchObject({ place: 1, startUnixMs: turn.freeUnixMs });
    expect(forecast.nextStep()).toMatchObject({ do: "wait", untilUnixMs: turn.freeUnixMs, because: "busy" });
    expect(forecast.nextStep(turn.freeUnixMs)).toMatchObject({ do: "take", turn: { number: 2 } });
    const later = turn.freeUnixMs + 7 * MINUTE;
    await happen({ type: "action.revised", number: 1, freeUnixMs: later });
    expect(forecast.estimate(2)).toMatchObject({ startUnixMs: later });
    expect(forecast.nextStep(turn.freeUnixMs)).toMatchObject({ do: "wait", untilUnixMs: later });
  });

  it("under a hold without end promises nothing, but keeps the order in which they would run", async () => {
    await ask(1, { target: lower });
    await ask(2);
    await happen({
      type: "hold.placed",
      hold: { reason: "people in the dome", by: "terminal:quill", sinceUnixMs: EVENING, untilUnixMs: null },
    });
    expect(forecast.order()).toMatchObject([
      { number: 2, place: null, startUnixMs: null, chanceTonight: 0, noTurn: { why: "hold" } },
      { number: 1, place: null, startUnixMs: null, noTurn: { why: "hold" } },
    ]);
    expect(forecast.estimate(1)?.laterUnixMs).toBeNull();
    expect(forecast.nextStep()).toMatchObject({ do: "wait", because: "hold" });
    await happen({ type: "hold.lifted", by: "terminal:quill" });
    expect(starts()[0]).toBe(EVENING);
  });

  it("promises nothing while the telescope has a fault", async () => {
    await ask(1);
    const { equipment } = desk.state;
    await happen({ type: "equipment.changed", equipment: { ...equipment, telescope: "fault" }, by: null });
    expect(forecast.estimate(1)).toMatchObject({ place: null, startUnixMs: null, noTurn: { why: "hold" } });
    await happen({ type: "equipment.changed", equipment: { ...equipment, telescope: "ready" }, by: null });
    expect(starts()).toEqual([EVENING]);
  });

  it("starts after a hold whose end is known, even one longer than tonight", async () => {
    await ask(1);
    const hold = (untilUnixMs: UtcMillis): NightslateEvent => ({
      type: "hold.placed",
      hold: { reason: "cloud", by: "terminal:quill", sinceUnixMs: EVENING, untilUnixMs },
    });
    await happen(hold(EVENING + HOUR));
    expect(starts()).toEqual([EVENING + HOUR]);
    await happen(hold(night.endUnixMs + 9 * HOUR));
    expect(forecast.estimate(1)).toMatchObject({ startUnixMs: null, noTurn: { why: "hold" } });
    expect(forecast.estimate(1)?.laterUnixMs).toBe(night.endUnixMs + 9 * HOUR);
  });

  it("carries on across local noon with the next night's windows", async () => {
    openAt(night.endUnixMs - 1);
    await ask(1);
    const before = forecast.estimate(1);
    expect(before).toMatchObject({ startUnixMs: null, chanceTonight: 0, noTurn: { why: "no-window" } });
    await clock.moveTo(night.endUnixMs);
    const after = forecast.estimate(1);
    expect(after?.startUnixMs).toBe(before?.laterUnixMs);
    expect(after).toMatchObject({ place: 1, chanceTonight: 1 });
  });

  it("says just before dusk what it says at dusk", async () => {
    openAt(night.startUnixMs);
    await ask(1);
    await ask(2, { target: lower });
    const atNoon = starts();
    await clock.moveTo((atNoon[0] as UtcMillis) - 1);
    expect(starts()).toEqual(atNoon);
    await clock.moveTo(atNoon[0] as UtcMillis);
    expect(forecast.nextStep()).toMatchObject({ do: "take", turn: { takenUnixMs: atNoon[0] } });
  });

  it("names the first night to come for those whom tonight has no time for", async () => {
    for (let number = 1; number <= 16; number++) await ask(number, { exposureSeconds: 600, frames: 6 });
    const left = forecast.order().filter((each) => each.noTurn !== null);
    expect(left.length).toBeGreaterThan(2);
    const later = left.map((each) => forecast.estimate(each.number)?.laterUnixMs as UtcMillis);
    for (const [index, unixMs] of later.entries()) {
      expect(unixMs).toBeGreaterThan(night.endUnixMs);
      if (index > 0) expect(unixMs).toBeGreaterThan(later[index - 1] as UtcMillis);
    }
  });

  it("finds no night within a week for a target of another season", async () => {
    await ask(1, { target: spring });
    expect(forecast.estimate(1)).toMatchObject({
      startUnixMs: null,
      noTurn: { why: "no-window" },
      laterUnixMs: null,
    });
  });

  it("shows the same queue under another rule, without choosing it", async () => {
    await ask(1, { target: lower });
    await ask(2);
    expect(forecast.underRule("first-come").turns.map((turn) => turn.number)).toEqual([1, 2]);
    expect(numbers()).toEqual([2, 1]);
    await happen({ type: "rule.chosen", rule: "first-come", by: "terminal:quill" });
    expect(numbers()).toEqual([1, 2]);
  });
});
