/** For how long a cancellation can be taken back. */
import { expect, test } from "vitest";
import { DAY, MINUTE } from "../../src/base/units.js";
import { onTheWatch, undoneUntil } from "../../src/commands/undo-window.js";
import { loadConfig } from "../../src/config/load.js";
import { ManualClock } from "../../src/tools/manual-clock.js";

const example = loadConfig("config/tern-hollow.yaml");
const config = { ...example, notices: { ...example.notices, undoSeconds: 120 } };

test.each([
  [1, 2 * MINUTE],
  [60, 2 * 60 * MINUTE],
  [3_600, DAY],
])("at %i times real time a person has the same two minutes, within a day", (speed, lengthMs) => {
  const clock = new ManualClock(0, speed);
  expect(undoneUntil(5, { config, clock })).toBe(5 + lengthMs);
  expect(onTheWatch(lengthMs, clock)).toBeCloseTo(Math.min(2 * MINUTE, DAY / speed), 6);
});
