/** On a night without noise, what the practice telescope does is what the forecast said at dusk. */
import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { silentLog } from "../../src/base/log.js";
import { HOUR } from "../../src/base/units.js";
import { type Config, configSchema } from "../../src/config/config.js";
import { loadConfig } from "../../src/config/load.js";
import { openForecast } from "../../src/estimates/open-forecast.js";
import { spreadHere } from "../../src/forecast/pool.js";
import type { Entry, FrameRecord, NightslateEvent } from "../../src/journal/events.js";
import { openMemoryDesk } from "../../src/journal/open-desk.js";
import { CONFIGURED_OVERHEADS } from "../../src/observatory/observatory.js";
import { RULE_NAMES, type RuleName } from "../../src/queue/request.js";
import { nightNamed } from "../../src/sky/night.js";
import { TelescopeDriver } from "../../src/telescope/driver.js";
import type { FrameOrder } from "../../src/telescope/frames/frame-order.js";
import { PracticeLink } from "../../src/telescope/practice/link.js";
import { ManualClock } from "../../src/tools/manual-clock.js";
import { bodies, fixedTarget } from "../forecast/random-night.js";

const loaded = loadConfig(new URL("../../config/tern-hollow.yaml", import.meta.url).pathname);
const stars = Array.from({ length: 9 }, (_, index) =>
  fixedTarget(`T${index}`, (index * 61) % 360, ((index * 29) % 90) - 20),
);

const wish = fc.record({
  target: fc.constantFrom(...stars, ...bodies),
  filter: fc.constantFrom("clear", "B", "V", "R", "Hα"),
  exposureSeconds: fc.constantFrom(1, 30, 300, 600),
  frames: fc.constantFrom(1, 2, 3),
  tier: fc.constantFrom(0, 1, 1),
  owner: fc.constantFrom("terminal:mira", "terminal:tomas"),
  notBeforeHours: fc.option(fc.double({ min: 0, max: 14, noNaN: true }), { freq: 4 }),
});
const anyQueue = fc.record({
  rule: fc.constantFrom(...RULE_NAMES),
  date: fc.constantFrom("2026-03-07", "2026-06-20", "2026-11-25"),
  startHours: fc.double({ min: 4, max: 14, noNaN: true }),
  wishes: fc.array(wish, { minLength: 1, maxLength: 12 }),
});
type Queue = typeof anyQueue extends fc.Arbitrary<infer Value> ? Value : never;

function frameOf({ request, index, startUnixMs }: FrameOrder): Promise<FrameRecord> {
  const { exposureSeconds, filter } = request;
  return Promise.resolve({
    index,
    startUnixMs,
    exposureSeconds,
    filter,
    imageFile: null,
    previewFile: null,
    verdict: null,
    simulated: true,
  });
}

function configFor(rule: RuleName): Config {
  return configSchema.parse({ ...loaded, queue: { ...loaded.queue, rule } });
}

function asked(number: number, target: number): NightslateEvent {
  const wish = { target: stars[target] as (typeof stars)[0], filter: "V", exposureSeconds: 60, frames: 2 };
  return {
    type: "request.made",
    number,
    wish: { ...wish, notBeforeUnixMs: null, note: null },
    owner: "terminal:mira",
    classId: "evening-2",
    group: null,
    tier: 1,
    via: { surface: "terminal", channel: "class" },
  };
}

/** What is said at dusk, and what has happened by the next noon: number, taken, free. */
async function saidAndDone(queue: Queue): Promise<{ said: number[][]; done: number[][] }> {
  const config = configFor(queue.rule);
  const night = nightNamed(queue.date, config.observatory.site.timeZone);
  const clock = new ManualClock(Math.round(night.startUnixMs + queue.startHours * HOUR));
  const desk = openMemoryDesk({ clock, derive: () => [] });
  const asked = queue.wishes.map(({ notBeforeHours, tier, owner, ...rest }, index): NightslateEvent => {
    const notBeforeUnixMs =
      notBeforeHours === null ? null : Math.round(night.startUnixMs + notBeforeHours * HOUR);
    const via = { surface: "terminal", channel: "class" };
    const said = { ...rest, notBeforeUnixMs, note: null };
    return {
      type: "request.made",
      number: index + 1,
      wish: said,
      owner,
      classId: "evening-2",
      group: null,
      tier,
      via,
    };
  });
  await desk.act(() => asked, { by: "test" });
  const forecast = openForecast({ desk, config, clock });
  const said = forecast.central().turns.map((turn) => [turn.number, turn.takenUnixMs, turn.freeUnixMs]);
  const link = new PracticeLink({
    makeFrame: frameOf,
    learned: () => CONFIGURED_OVERHEADS,
    pauseClock: () => () => {},
  });
  const driver = new TelescopeDriver({ desk, clock, config, forecast, log: silentLog, link });
  await driver.start();
  await clock.moveTo(night.endUnixMs - 1);
  await driver.stop();
  const entries: Entry[] = [];
  for await (const entry of desk.entries()) entries.push(entry);
  return { said, done: happened(entries) };
}

function happened(entries: readonly Entry[]): number[][] {
  const taken = new Map<number, number>();
  return entries.flatMap(({ events, atUnixMs }) =>
    events.flatMap((event) => {
      if (event.type === "request.taken") taken.set(event.number, atUnixMs);
      if (event.type !== "request.completed") return [];
      return [[event.number, taken.get(event.number) as number, atUnixMs]];
    }),
  );
}

it("a plan outlives a restart: who comes next is what was said before", async () => {
  const config = configFor("planned");
  const night = nightNamed("2026-11-25", config.observatory.site.timeZone);
  const clock = new ManualClock(night.startUnixMs + 8 * HOUR);
  const desk = openMemoryDesk({ clock, derive: () => [] });
  const opened = () => openForecast({ desk, config, clock, pool: spreadHere });
  const order = (forecast: ReturnType<typeof opened>) => forecast.central().turns.map(({ number }) => number);
  const ask = (target: number) => desk.act(({ nextNumber }) => [asked(nextNumber, target)], { by: "test" });
  const before = opened();
  for (const target of [0, 1, 2, 3, 4, 5, 6, 7]) await ask(target);
  await before.settled();
  const said = order(before);
  await before.close();
  expect(desk.state.plan?.plan.order).toEqual(said);
  const after = opened();
  expect(order(after)).toEqual(said);
  clock.moveTo(clock.now() + HOUR / 2);
  await after.settled();
  await after.close();
});

describe("a night without noise", () => {
  it("goes exactly as the forecast said at its start, for any queue and rule", async () => {
    let turns = 0;
    await fc.assert(
      fc.asyncProperty(anyQueue, async (queue) => {
        const { said, done } = await saidAndDone(queue);
        expect(done).toEqual(said);
        turns += done.length;
      }),
      { numRuns: 200 },
    );
    expect(turns).toBeGreaterThan(400);
  });
});
