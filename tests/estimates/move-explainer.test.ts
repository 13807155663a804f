/** What the finder of causes knows of the time before it started, and of queues that are too long for it. */
import { expect, test } from "vitest";
import { ManualClock } from "../../src/base/clock.js";
import { HOUR, MINUTE } from "../../src/base/units.js";
import { loadConfig } from "../../src/config/load.js";
import { MoveExplainer } from "../../src/estimates/move-explainer.js";
import type { UnexplainedMove } from "../../src/estimates/moves.js";
import { openForecast } from "../../src/estimates/open-forecast.js";
import type { NightslateEvent } from "../../src/journal/events.js";
import { openMemoryDesk } from "../../src/journal/open-desk.js";
import { nightNamed } from "../../src/sky/night.js";
import { fixedTarget } from "../forecast/random-night.js";

const config = loadConfig(new URL("../../config/tern-hollow.yaml", import.meta.url).pathname);
const EVENING = nightNamed("2026-11-25", config.observatory.site.timeZone).startUnixMs + 8 * HOUR;
const high = fixedTarget("high", 0, 42);

const asked = (number: number): NightslateEvent => ({
  type: "request.made",
  number,
  wish: { target: high, filter: "V", exposureSeconds: 60, frames: 1, notBeforeUnixMs: null, note: null },
  owner: "terminal:mira",
  classId: "evening-2",
  group: null,
  tier: 1,
  via: { surface: "terminal", channel: "class" },
});

async function deskWith(requests: number) {
  const clock = new ManualClock(EVENING);
  const desk = openMemoryDesk({ clock, derive: () => [] });
  await desk.act(() => Array.from({ length: requests }, (_, index) => asked(index + 1)), { by: "test" });
  const forecast = openForecast({ desk, config, clock });
  return { clock, desk, config, forecast };
}

/** #2 was told with an entry, and starts so much later now. */
function later(minutes: number, toldEntry: number): UnexplainedMove {
  const startUnixMs = EVENING + (3 + minutes) * MINUTE;
  const range = { earliestUnixMs: startUnixMs, latestUnixMs: startUnixMs };
  return {
    ...{ number: 2, fromUnixMs: EVENING + 3 * MINUTE, startUnixMs, toldEntry, toldUnixMs: EVENING },
    ...range,
  };
}

test("the time in which nothing ran is a cause; what came before the last entry is not known", async () => {
  const parts = await deskWith(2);
  await parts.clock.moveTo(EVENING + 25 * MINUTE);
  const explainer = new MoveExplainer(parts);
  expect(await explainer.explain([later(25, 1), later(25, 0)])).toEqual([
    [{ what: "idle", forMs: 25 * MINUTE, reordered: false }],
    undefined,
  ]);
  explainer.stop();
});

test("nothing is said of a long queue, and what happens is found again when it is shorter", async () => {
  const parts = await deskWith(700);
  const explainer = new MoveExplainer(parts);
  expect(await explainer.explain([later(25, 1)])).toEqual([undefined]);
  const numbers = Array.from({ length: 600 }, (_, index) => index + 101);
  const { desk, clock } = parts;
  await desk.act(
    () => [{ type: "requests.cancelled", cancelId: "c", numbers, reason: "", by: "terminal:quill" }],
    { by: "test" },
  );
  expect(await explainer.explain([later(25, 1)])).toEqual([undefined]);
  await clock.moveTo(EVENING + 25 * MINUTE);
  expect(await explainer.explain([later(25, 2)])).toEqual([
    [{ what: "idle", forMs: 25 * MINUTE, reordered: false }],
  ]);
  explainer.stop();
});

test("nothing accounts for a move when nothing happened", async () => {
  const explainer = new MoveExplainer(await deskWith(2));
  expect(await explainer.explain([later(1, 1)])).toEqual([null]);
  explainer.stop();
});
