/** The page's clock: practice time that pauses, is interrupted, or jumps. */
import fc from "fast-check";
import { expect, test } from "vitest";
import { watchWords } from "../../../src/chat/room/page/now/next-words.js";
import { PageClock } from "../../../src/chat/room/page/time/page-clock.js";
import { minutesAhead, zoneWords } from "../../../src/chat/room/page/time/zone.js";

const NOON = Date.UTC(2026, 10, 25, 18);
const TICK_MS = 250;

/** Practice time at speed 60 that stands still for a part of each of the reader's seconds. */
function play(standstills: readonly number[], speed = 60) {
  const clock = new PageClock();
  const shown: number[] = [];
  let server = NOON;
  let ms = 0;
  for (const still of standstills) {
    clock.set({ now: server, speed }, ms);
    for (let tick = 0; tick < 4; tick++) {
      shown.push(clock.now(ms));
      ms += TICK_MS;
    }
    server += (1_000 - still) * speed;
  }
  clock.set({ now: server, speed }, ms);
  return { clock, shown, server, ms };
}

test("never runs backwards, and is never far from the server, whatever the pauses", () => {
  fc.assert(
    fc.property(fc.array(fc.integer({ min: 0, max: 1_000 }), { minLength: 5, maxLength: 60 }), (pauses) => {
      const { clock, shown, server, ms } = play(pauses);
      for (let index = 1; index < shown.length; index++) {
        expect(shown[index]).toBeGreaterThanOrEqual(shown[index - 1] as number);
      }
      expect(Math.abs(clock.now(ms) - server)).toBeLessThanOrEqual(60 * 10_000);
    }),
  );
});

test("holds still where it got ahead, and goes on once the server has caught up", () => {
  const clock = new PageClock();
  clock.set({ now: NOON, speed: 60 }, 0);
  expect(clock.now(1_000)).toBe(NOON + 60_000);
  expect(clock.now(2_000)).toBe(NOON + 120_000);
  clock.set({ now: NOON + 60_000, speed: 60 }, 2_000);
  expect(clock.now(2_500)).toBe(NOON + 120_000);
  clock.set({ now: NOON + 150_000, speed: 60 }, 3_000);
  expect(clock.now(3_100)).toBeGreaterThan(NOON + 120_000);
});

test("measures the pace that practice really has", () => {
  const { clock } = play(Array(20).fill(450));
  expect(clock.paceNow).toBeCloseTo(33, 0);
  expect(watchWords(330_000, { most: 60, measured: clock.paceNow })).toBe("about 10\u00a0s on your watch");
  expect(watchWords(20_000, { most: 60, measured: 33 })).toBe("any moment on your watch");
  expect(watchWords(20_000, { most: 1, measured: 1 })).toBe("");
});

test("catches up after a sleep or a skipped day at once, and stops when nothing is heard", () => {
  const { clock, server, ms } = play([0, 0, 0, 0, 0], 1);
  const alone = clock.now(ms + 3_600_000);
  expect(alone - server).toBeLessThanOrEqual(6_000);
  clock.interrupted();
  clock.set({ now: server + 40_000_000, speed: 1 }, ms + 3_600_000);
  expect(clock.now(ms + 3_600_000)).toBe(server + 40_000_000);
});

test("another journal's clock may be earlier", () => {
  const { clock, ms } = play([0, 0, 0]);
  clock.reset();
  clock.set({ now: NOON - 86_400_000, speed: 60 }, ms);
  expect(clock.now(ms)).toBe(NOON - 86_400_000);
});

test("says how far the observatory's clocks are from the reader's, and nothing where they agree", () => {
  expect(minutesAhead(NOON, "America/Chicago")).toBe(-360);
  expect(minutesAhead(NOON, "Asia/Kathmandu")).toBe(345);
  expect(zoneWords(NOON, "America/Chicago", "Europe/Berlin")).toBe("observatory time, 7 h behind yours");
  expect(zoneWords(NOON, "Asia/Kathmandu", "Europe/Berlin")).toBe(
    "observatory time, 4 h 45 min ahead of yours",
  );
  expect(zoneWords(NOON, "America/Chicago", "America/Winnipeg")).toBe("");
});
