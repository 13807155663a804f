/** Which forecasts are compared with what came of them. */
import { expect, test } from "vitest";
import { HOUR, MINUTE } from "../../src/base/units.js";
import { Baseline } from "../../src/estimates/baseline.js";
import { ScoreKeeper } from "../../src/estimates/score-keeper.js";
import { LEVELS } from "../../src/forecast/learn/calibration.js";
import type { StartRange } from "../../src/forecast/spread.js";
import type { NightslateEvent } from "../../src/journal/events.js";
import { openMemoryDesk } from "../../src/journal/open-desk.js";
import { ManualClock } from "../../src/tools/manual-clock.js";
import { EVENING, made, taken } from "../journal/support.js";

async function keeper() {
  const clock = new ManualClock(EVENING);
  const desk = openMemoryDesk({ clock, derive: () => [] });
  const scores = new ScoreKeeper(desk, clock);
  const say = (event: NightslateEvent) => desk.act(() => [event], { by: "test" });
  await say(made(1));
  const foretell = (minutes: number, chanceTonight: number): void => {
    const medianUnixMs = clock.now() + minutes * MINUTE;
    const range: StartRange = {
      number: 1,
      lowUnixMs: medianUnixMs - MINUTE,
      medianUnixMs,
      highUnixMs: medianUnixMs + MINUTE,
      quantiles: LEVELS.map((level) => medianUnixMs + (level - 0.5) * MINUTE),
      chanceTonight,
    };
    const central = { turns: [], withoutTurn: new Map() };
    scores.remember(new Baseline(new Map([[1, range]]), central, false), clock.now());
  };
  const scored = async (afterMs: number = MINUTE): Promise<number> => {
    await clock.moveTo(clock.now() + afterMs);
    await say(taken(1));
    await clock.moveTo(clock.now() + MINUTE);
    return desk.state.calibration.flatMap(({ levels }) => levels.flat()).length;
  };
  const chances = () => desk.state.calibration.map(({ night, chances: own }) => ({ night, chances: own }));
  return { clock, say, foretell, scored, chances };
}

test("a promised start is, once it has come", async () => {
  const { foretell, scored } = await keeper();
  foretell(5, 0.9);
  foretell(30, 0.6);
  expect(await scored()).toBe(2);
});

test("a start that was unlikely tonight is not", async () => {
  const { foretell, scored } = await keeper();
  foretell(30, 0.4);
  expect(await scored()).toBe(0);
});

test("a start in the instant of its forecast is not: nothing was foretold", async () => {
  const { foretell, scored } = await keeper();
  foretell(0, 1);
  expect(await scored(0)).toBe(0);
});

test("one of last night is not, when the request was carried over", async () => {
  const { clock, say, foretell, scored } = await keeper();
  foretell(30, 0.9);
  await clock.moveTo(EVENING + 16 * HOUR);
  await say({ type: "night.began", date: "2026-11-26", carriedOver: [1] });
  expect(await scored()).toBe(0);
});

test("a chance is, whether the start came or not: what still waits when the night is over never came", async () => {
  const { clock, say, foretell, scored, chances } = await keeper();
  await say({ type: "night.began", date: "2026-11-25", carriedOver: [] });
  foretell(30, 0.4);
  await say(made(2));
  await clock.moveTo(EVENING + 16 * HOUR);
  await say({ type: "night.began", date: "2026-11-26", carriedOver: [1] });
  await clock.moveTo(EVENING + 17 * HOUR);
  expect(chances()).toEqual([{ night: "2026-11-25", chances: [{ said: 0.4, held: false, came: false }] }]);
  foretell(5, 0.9);
  await scored();
  expect(chances()[1]).toEqual({
    night: "2026-11-26",
    chances: [{ said: 0.9, held: false, came: true }],
  });
});
