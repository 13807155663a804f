/** Places and starts tell one story: whoever is told an earlier start has the smaller place, everywhere. */
import { expect, it } from "vitest";
import { HOUR, MINUTE, type UtcMillis } from "../../src/base/units.js";
import { loadConfig } from "../../src/config/load.js";
import { openForecast } from "../../src/estimates/open-forecast.js";
import { LEVELS } from "../../src/forecast/learn/calibration.js";
import { playNight } from "../../src/forecast/play-night.js";
import { type SpreadPool, spreadHere } from "../../src/forecast/pool.js";
import type { StartRange } from "../../src/forecast/spread.js";
import { openMemoryDesk } from "../../src/journal/open-desk.js";
import { nightNamed } from "../../src/sky/night.js";
import { ManualClock } from "../../src/tools/manual-clock.js";
import { fixedTarget } from "../forecast/random-night.js";

const example = loadConfig(new URL("../../config/tern-hollow.yaml", import.meta.url).pathname);
/** So many runs that every spread is left to the pool. */
const config = { ...example, forecast: { ...example.forecast, runs: 100_000 } };
const night = nightNamed("2026-11-25", config.observatory.site.timeZone);
const EVENING = night.startUnixMs + 8 * HOUR;

/** A spread in which the turns of the central run are expected the other way round, the last one's tie unbroken. */
const reversing: SpreadPool = {
  spread: async (input, _beliefs, { runs }) => {
    const starts = playNight(input).turns.map((turn) => turn.takenUnixMs);
    const numbers = playNight(input).turns.map((turn) => turn.number);
    const expected = [...starts]
      .reverse()
      .map((start, index) => (index < 2 ? (starts.at(-1) ?? start) : start));
    const range = (number: number, medianUnixMs: UtcMillis): StartRange => ({
      number,
      medianUnixMs,
      lowUnixMs: medianUnixMs - MINUTE,
      highUnixMs: medianUnixMs + HOUR,
      quantiles: LEVELS.map((level) => medianUnixMs + (level - 0.5) * HOUR),
      chanceTonight: 1,
    });
    const ranges = new Map(
      numbers.map((number, index) => [number, range(number, expected[index] as UtcMillis)]),
    );
    return { runs, ranges };
  },
  plan: spreadHere.plan,
  close: async () => {},
};

it("a spread that expects another order than the central run changes the places, not only the times", async () => {
  const clock = new ManualClock(EVENING);
  const desk = openMemoryDesk({ clock, derive: () => [] });
  const forecast = openForecast({ desk, config, clock, pool: reversing });
  for (let number = 1; number <= 5; number++) {
    const target = fixedTarget("up", 0, 42);
    const wish = { target, filter: "V", exposureSeconds: 60, frames: 1, notBeforeUnixMs: null, note: null };
    const owner = `terminal:student-${number}`;
    const via = { surface: "terminal", channel: "class" };
    await desk.act(
      () => [{ type: "request.made", number, wish, owner, classId: "evening-2", group: null, tier: 1, via }],
      { by: "test" },
    );
  }
  await forecast.settled();
  expect(forecast.central().turns.map((turn) => turn.number)).toEqual([1, 2, 3, 4, 5]);
  const order = forecast.order();
  expect(order.map((each) => each.number)).toEqual([5, 4, 3, 1, 2]);
  expect(order.map((each) => each.place)).toEqual([1, 2, 3, 4, 5]);
  const starts = order.map((each) => each.startUnixMs as UtcMillis);
  expect([...starts].sort((a, b) => a - b)).toEqual(starts);
  expect(order.map((each) => forecast.estimate(each.number))).toEqual(order);
  expect([...forecast.places()]).toEqual(order.map((each) => [each.number, each.place]));
  await forecast.close();
});
