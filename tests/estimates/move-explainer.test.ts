/** What the finder of causes knows of the time before it started, and of queues that are too long for it. */
import { expect, test } from "vitest";
import { HOUR, MINUTE } from "../../src/base/units.js";
import { loadConfig } from "../../src/config/load.js";
import { Learning } from "../../src/estimates/learning.js";
import { MoveExplainer } from "../../src/estimates/move-explainer.js";
import type { UnexplainedMove } from "../../src/estimates/moves.js";
import type { NightslateEvent } from "../../src/journal/events.js";
import { openMemoryDesk } from "../../src/journal/open-desk.js";
import { nightNamed } from "../../src/sky/night.js";
import { ManualClock } from "../../src/tools/manual-clock.js";
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
  return { clock, desk, config, learning: new Learning(config) };
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
    null,
  ]);
  explainer.stop();
});

test("of a long queue, all that happened between two looks is found together", async () => {
  const parts = await deskWith(700);
  const { desk, clock } = parts;
  const explainer = new MoveExplainer(parts);
  expect(await explainer.explain([later(25, 1)])).toEqual([null]);
  await clock.moveTo(EVENING + 10 * MINUTE);
  expect(await explainer.explain([later(10, 1)])).toEqual([
    [{ what: "idle", forMs: 10 * MINUTE, reordered: false }],
  ]);
  const told = { number: 2, startUnixMs: EVENING + 13 * MINUTE };
  for (const event of [
    { type: "estimates.told", estimates: [told] } as const,
    ...[701, 702].map((number) => ({ ...asked(number), tier: 0 }) as NightslateEvent),
  ])
    await desk.act(() => [event], { by: "test" });
  expect(await explainer.explain([later(3, 2)])).toEqual([[{ what: "made", requests: 2, tier: 0 }]]);
  explainer.stop();
});

test("an action that goes on for longer is a cause before it has ended", async () => {
  const { desk, ...parts } = await deskWith(2);
  const explainer = new MoveExplainer({ desk, ...parts });
  const say = (event: NightslateEvent) => desk.act(() => [event], { by: "test" });
  const freeUnixMs = EVENING + 3 * MINUTE;
  const sky = { altitudeDegrees: 60, airmass: 1.15, pointingAfter: null };
  await say({ type: "request.taken", number: 1, freeUnixMs, ...sky });
  await say({ type: "action.revised", number: 1, freeUnixMs: freeUnixMs + 14 * MINUTE });
  expect(await explainer.explain([later(14, 2)])).toEqual([
    [{ what: "pace", byMs: 14 * MINUTE, reordered: false }],
  ]);
  explainer.stop();
});

test("nothing accounts for a move when nothing happened", async () => {
  const explainer = new MoveExplainer(await deskWith(2));
  expect(await explainer.explain([later(1, 1)])).toEqual([null]);
  explainer.stop();
});
