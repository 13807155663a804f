/** How much one page or address may do at once, and how soon again. */
import { expect, test } from "vitest";
import { Bucket } from "../../../src/chat/room/serve/bucket.js";
import { ManualClock } from "../../../src/tools/manual-clock.js";

const BURST = 3;
const PER_SECOND = 2;

/** How many can be taken now. */
function takeAll(bucket: Bucket): number {
  let taken = 0;
  while (taken < 100 && bucket.take()) taken++;
  return taken;
}

test("a night of silence earns no more at once than the burst", async () => {
  const clock = new ManualClock(0);
  const bucket = new Bucket(clock, BURST, PER_SECOND);
  expect(takeAll(bucket)).toBe(BURST);
  await clock.moveTo(8 * 3_600_000);
  expect(takeAll(bucket)).toBe(BURST);
});

test("spent, it gives as many a second as it was made for, and says how long until the next", async () => {
  const clock = new ManualClock(0);
  const bucket = new Bucket(clock, BURST, PER_SECOND);
  takeAll(bucket);
  expect(bucket.wait).toBe(500);
  await clock.moveTo(499);
  expect(bucket.take()).toBe(false);
  await clock.moveTo(1_000);
  expect(bucket.wait).toBe(0);
  expect(takeAll(bucket)).toBe(2);
});
