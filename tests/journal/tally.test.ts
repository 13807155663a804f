/** What actions and holds add up to, for the forecast to learn from. */
import { expect, test } from "vitest";
import { MINUTE } from "../../src/base/units.js";
import { EMPTY_TALLY, withAttempt, withFailure } from "../../src/forecast/learn/experience.js";
import type { NightslateEvent } from "../../src/journal/events.js";
import { applyEntry, emptyState } from "../../src/journal/fold.js";
import { EVENING, entryOf, made, taken } from "./support.js";

/** Each event at its minute of the evening. */
function tallyAfter(...events: readonly (readonly [minute: number, event: NightslateEvent])[]) {
  const state = emptyState();
  events.forEach(([minute, event], index) => {
    applyEntry(state, entryOf(index + 1, [event], { atUnixMs: EVENING + minute * MINUTE }));
  });
  return { now: state.tally, before: state.tallyBefore };
}

const held = (minute: number): NightslateEvent => ({
  type: "hold.placed",
  hold: { sinceUnixMs: EVENING + minute * MINUTE, untilUnixMs: null, reason: "cloud", by: "terminal:quill" },
});
const lifted: NightslateEvent = { type: "hold.lifted", by: null };
const completed: NightslateEvent = { type: "request.completed", number: 1 };

test("a hold costs the time that the telescope stood idle for it", () => {
  const start = [[0, made(1)] as const, [1, taken(1)] as const];
  expect(tallyAfter(...start, [3, held(3)], [8, completed], [20, lifted]).now).toMatchObject({
    holds: 1,
    heldMs: 12 * MINUTE,
    workedMs: 7 * MINUTE,
    lastEndedUnixMs: EVENING + 8 * MINUTE,
  });
  expect(tallyAfter(...start, [3, held(3)], [6, lifted]).now).toMatchObject({ holds: 1, heldMs: 0 });
  expect(tallyAfter(...start, [4, completed], [10, held(10)], [25, lifted]).now).toMatchObject({
    heldMs: 15 * MINUTE,
  });
});

test("what was broken off counts as work, and as failed", () => {
  const returned: NightslateEvent = { type: "request.returned", number: 1, reason: "cloud", by: null };
  expect(tallyAfter([0, made(1)], [1, taken(1)], [6, returned]).now).toMatchObject({
    attempts: 1,
    failures: 1,
    workedMs: 5 * MINUTE,
    lastEndedUnixMs: EVENING + 6 * MINUTE,
  });
});

test("a new night keeps the sums of the nights before it apart", () => {
  const { now, before } = tallyAfter(
    [0, made(1)],
    [1, taken(1)],
    [4, completed],
    [900, { type: "night.began", date: "2026-11-26", carriedOver: [] }],
    [1500, made(2)],
    [1501, taken(2)],
  );
  const { attempts, recentAttempts, lastTakenUnixMs } = before;
  expect(before).toEqual({ ...now, attempts, recentAttempts, lastTakenUnixMs });
  expect(attempts).toBe(1);
  expect(now.attempts).toBe(2);
  expect(tallyAfter([0, made(1)]).before).toEqual(EMPTY_TALLY);
});

test("failures long past are forgotten: after four hundred good actions hardly any of thirty counts", () => {
  let tally = EMPTY_TALLY;
  for (let action = 0; action < 430; action++) {
    tally = withAttempt(tally, action);
    if (action < 30) tally = withFailure(tally);
  }
  expect(tally.failures).toBe(30);
  expect(tally.recentFailures / tally.recentAttempts).toBeLessThan(0.005);
});

test("a hold after which nothing was taken that night was for good, where something waited", () => {
  const cloudedOver = [
    [0, made(1)],
    [1, taken(1)],
    [4, completed],
    [5, made(2)],
    [10, held(10)],
    [900, lifted],
    [901, { type: "night.began", date: "2026-11-26", carriedOver: [2] }],
  ] as const;
  expect(tallyAfter(...cloudedOver).now).toMatchObject({ holds: 1, holdsForGood: 1, heldMs: 0 });
  const nobodyWaited = cloudedOver.filter(([minute]) => minute !== 5);
  expect(tallyAfter(...nobodyWaited).now).toMatchObject({ holds: 1, holdsForGood: 0 });
});
