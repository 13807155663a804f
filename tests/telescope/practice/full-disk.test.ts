/** The practice telescope on a full disk: a frame that cannot be kept fails its request, and nothing stands still. */
import { expect, test } from "vitest";
import { silentLog } from "../../../src/base/log.js";
import { HOUR, MINUTE } from "../../../src/base/units.js";
import { loadConfig } from "../../../src/config/load.js";
import { openForecast } from "../../../src/estimates/open-forecast.js";
import { emptyState } from "../../../src/journal/draft.js";
import { Journal } from "../../../src/journal/journal.js";
import { JournalDesk } from "../../../src/journal/journal-desk.js";
import { openSqlite } from "../../../src/journal/sqlite/open.js";
import { CONFIGURED_OVERHEADS } from "../../../src/observatory/observatory.js";
import { TelescopeDriver } from "../../../src/telescope/driver.js";
import type { FrameOrder } from "../../../src/telescope/frames/frame-order.js";
import { PracticeLink } from "../../../src/telescope/practice/link.js";
import { ManualClock } from "../../../src/tools/manual-clock.js";
import { asked, Disk } from "../evening.js";
import { JUNE_NIGHT } from "./practice-example.js";

async function evening(makeFrame: (order: FrameOrder, disk: Disk) => void) {
  const config = loadConfig("config/tern-hollow.yaml");
  const clock = new ManualClock(JUNE_NIGHT);
  const disk = new Disk();
  const troubles: (string | null)[] = [];
  const desk = new JournalDesk(
    new Journal({ store: disk, explain: openSqlite(".").explain }),
    emptyState(),
    0,
    {
      clock,
      derive: () => [],
      log: silentLog,
      trouble: (clause) => troubles.push(clause),
    },
  );
  const link = new PracticeLink({
    learned: () => CONFIGURED_OVERHEADS,
    pauseClock: () => () => {},
    makeFrame: async (order) => {
      makeFrame(order, disk);
      const { request, index, startUnixMs } = order;
      const { exposureSeconds, filter } = request;
      const files = { imageFile: null, previewFile: null };
      return { index, startUnixMs, exposureSeconds, filter, ...files, verdict: null, simulated: true };
    },
  });
  for (const number of [1, 2]) await desk.act(() => [asked(number, { frames: 1 })], { by: "terminal:mira" });
  const forecast = openForecast({ desk, config, clock });
  const driver = new TelescopeDriver({ desk, clock, config, forecast, log: silentLog, link });
  await driver.start();
  await clock.moveTo(clock.now());
  const states = () => [1, 2].map((number) => desk.state.requests.get(number)?.state);
  return { clock, desk, disk, driver, states, troubles };
}

const noRoom = (): never => {
  throw new Error("ENOSPC: no space left on device, write");
};

test("a frame for which there is no room fails its request with a sentence, and the next is taken", async () => {
  const { clock, desk, driver, states } = await evening(({ request }) => {
    if (request.number === 1) noRoom();
  });
  await clock.moveTo(JUNE_NIGHT + HOUR);
  expect(states()).toEqual(["failed", "completed"]);
  expect(desk.state.requests.get(1)?.reason).toBe(
    "the disk is full, so the frame could not be kept; the operator has to make room",
  );
  await driver.stop();
});

test("while the journal is refused too it is said once, and once more when all goes on by itself", async () => {
  const { clock, disk, driver, states, troubles } = await evening(({ request }, full) => {
    if (request.number !== 1) return;
    full.full = true;
    noRoom();
  });
  await clock.moveTo(JUNE_NIGHT + 30 * MINUTE);
  expect(states()).toEqual(["taken", "waiting"]);
  expect(troubles).toEqual(["the disk is full; free some space"]);
  disk.full = false;
  await clock.moveTo(JUNE_NIGHT + HOUR);
  expect(states()).toEqual(["failed", "completed"]);
  expect(troubles).toEqual(["the disk is full; free some space", null]);
  await driver.stop();
});
