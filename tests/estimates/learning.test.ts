/** A practice telescope whose dome is slower than configured: the forecast finds out within five requests. */
import { expect, it } from "vitest";
import { silentLog } from "../../src/base/log.js";
import { HOUR, MINUTE, SECOND } from "../../src/base/units.js";
import { type Config, configSchema } from "../../src/config/config.js";
import { loadConfig } from "../../src/config/load.js";
import { Learning } from "../../src/estimates/learning.js";
import { MoveExplainer } from "../../src/estimates/move-explainer.js";
import { openForecast } from "../../src/estimates/open-forecast.js";
import type { Desk } from "../../src/journal/desk.js";
import type { Entry, NightslateEvent } from "../../src/journal/events.js";
import { openMemoryDesk } from "../../src/journal/open-desk.js";
import { nightNamed } from "../../src/sky/night.js";
import { TelescopeDriver } from "../../src/telescope/driver.js";
import { PracticeLink } from "../../src/telescope/practice/link.js";
import { ManualClock } from "../../src/tools/manual-clock.js";
import { fixedTarget } from "../forecast/random-night.js";

const loaded = loadConfig(new URL("../../config/tern-hollow.yaml", import.meta.url).pathname);
const night = nightNamed("2026-11-25", loaded.observatory.site.timeZone);
const EVENING = night.startUnixMs + 8 * HOUR;
const east = fixedTarget("east", 75, 45);
const west = fixedTarget("west", 310, 45);

function slowDome(factor: number): Config {
  const practice = { ...loaded.telescope.practice, overheads: { dome: factor } };
  return configSchema.parse({
    ...loaded,
    queue: { ...loaded.queue, rule: "first-come" },
    telescope: { ...loaded.telescope, practice },
  });
}

/** From east to west and back: the dome turns far each time. */
const asked = (number: number): NightslateEvent => ({
  type: "request.made",
  number,
  wish: {
    target: number % 2 === 0 ? east : west,
    filter: "V",
    exposureSeconds: 10,
    frames: 1,
    notBeforeUnixMs: null,
    note: null,
  },
  owner: "terminal:mira",
  classId: "evening-2",
  group: null,
  tier: 1,
  via: { surface: "terminal", channel: "class" },
});

async function playedNight(config: Config, requests: number) {
  const clock = new ManualClock(EVENING);
  const desk = openMemoryDesk({ clock, derive: () => [] });
  await desk.act(() => Array.from({ length: requests }, (_, index) => asked(index + 1)), { by: "test" });
  const forecast = openForecast({ desk, config, clock });
  const link = new PracticeLink({
    makeFrame: async ({ request, index, startUnixMs }) => ({
      ...{ index, startUnixMs, exposureSeconds: request.exposureSeconds, filter: request.filter },
      ...{ imageFile: null, previewFile: null, verdict: null, simulated: true },
    }),
    pauseClock: () => () => {},
  });
  const explainer = new MoveExplainer({ desk, learning: new Learning(config), config, clock });
  const first = forecast.estimate(requests)?.startUnixMs as number;
  await desk.act(() => [{ type: "estimates.told", estimates: [{ number: requests, startUnixMs: first }] }], {
    by: "test",
  });
  const driver = new TelescopeDriver({ desk, clock, config, forecast, log: silentLog, link });
  await driver.start();
  return { clock, desk, forecast, driver, explainer, first };
}

async function entryAt(desk: Desk, id: number): Promise<Entry> {
  for await (const entry of desk.entries(id)) return entry;
  throw new Error(`no entry ${id}`);
}

it("promises ends to the second from the sixth request on, when the dome is 1.6 × slower", async () => {
  const { clock, desk, forecast, driver } = await playedNight(slowDome(1.6), 12);
  await clock.moveTo(EVENING + 2 * HOUR);
  await driver.stop();
  const entries: Entry[] = [];
  for await (const entry of desk.entries()) entries.push(entry);
  const promised = new Map<number, number>();
  const late = entries.flatMap(({ events, atUnixMs }) =>
    events.flatMap((event) => {
      if (event.type === "request.taken") promised.set(event.number, event.freeUnixMs);
      return event.type === "request.completed" ? [atUnixMs - (promised.get(event.number) as number)] : [];
    }),
  );
  expect(late).toHaveLength(12);
  expect(late[1]).toBeGreaterThan(10 * SECOND);
  for (const ms of late.slice(5)) expect(Math.abs(ms)).toBeLessThan(SECOND);
  expect(forecast.overheads().dome).toBeCloseTo(1.6, 2);
  expect(forecast.overheads().slew).toBeCloseTo(1, 3);
});

it("names the dome when estimates moved because of it", async () => {
  const { clock, desk, forecast, driver, explainer, first } = await playedNight(slowDome(4), 20);
  await clock.moveTo(EVENING + 15 * MINUTE);
  const now = forecast.estimate(20)?.startUnixMs as number;
  expect(now - first).toBeGreaterThan(10 * MINUTE);
  const entry = 2;
  expect((await entryAt(desk, entry)).events).toMatchObject([{ type: "estimates.told" }]);
  const range = { earliestUnixMs: now, latestUnixMs: now };
  const told = { number: 20, fromUnixMs: first, toldEntry: entry, toldUnixMs: EVENING };
  expect(await explainer.explain([{ ...told, startUnixMs: now, ...range }])).toEqual([
    [{ what: "overhead", component: "dome", slower: true, thought: false }],
  ]);
  await driver.stop();
  explainer.stop();
});
