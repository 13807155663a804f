/** A telescope worked by hand: presses are the journal's, reminders come once, and too little disk holds the queue. */
import { beforeEach, describe, expect, test } from "vitest";
import { MINUTE, SECOND } from "../../src/base/units.js";
import { takeOnWord } from "../../src/estimates/taking.js";
import type { NightslateEvent } from "../../src/journal/events.js";
import { ByHandLink } from "../../src/telescope/by-hand/link.js";
import type { FitsSource } from "../../src/telescope/frames/byte-reader.js";
import type { FrameStore } from "../../src/telescope/frames/frame-store.js";
import { Evening, plainFrame } from "./evening.js";

let evening: Evening;
const frames = { freeBytes: 1e12 };
const kept: string[] = [];
const store: FrameStore<FitsSource> = {
  keep: async (order, source) => {
    kept.push(`${order.index} ${new Date(order.startUnixMs).toISOString()} ${"path" in source}`);
    return plainFrame(order);
  },
  removeOld: async () => {},
  close: async () => {},
  freeBytes: async () => frames.freeBytes,
};

beforeEach(async () => {
  frames.freeBytes = 1e12;
  evening = await Evening.begin(() => new ByHandLink(store));
});

/** As /mark 1 taken does. */
const take = async (number = 1): Promise<void> => {
  const { desk, forecast } = evening;
  await desk.act((state, now) => takeOnWord(state, number, now, forecast), { by: "terminal:okoro" });
  await evening.settle();
};
const events = async (type: NightslateEvent["type"]): Promise<NightslateEvent[]> => {
  const seen: NightslateEvent[] = [];
  for await (const entry of evening.desk.entries())
    seen.push(...entry.events.filter((each) => each.type === type));
  return seen;
};

describe("A telescope worked by hand", () => {
  test("takes nothing by itself, and says whose turn it is", async () => {
    await evening.go(10 * MINUTE);
    expect(evening.desk.state.taken).toBeNull();
    expect(evening.forecast.nextStep()).toMatchObject({ do: "take", request: { number: 1 } });
  });

  test("is observing what the operator says, until the operator says what became of it", async () => {
    await take();
    expect(evening.driver.status()).toMatchObject({ activity: "observing", requestNumber: 1, frames: 2 });
    expect(evening.driver.status().untilUnixMs).toBe(evening.desk.state.taken?.freeUnixMs);
    await evening.go(MINUTE);
    await evening.happen({ type: "request.completed", number: 1 });
    expect(evening.driver.status()).toMatchObject({ activity: "idle", requestNumber: null });
    expect(evening.desk.state.stopping).toBeNull();
    await take(2);
    expect(evening.desk.state.taken?.number).toBe(2);
  });

  test.each(["taken", "stopped"])("is as it was after the program ended with one %s", async (when) => {
    await take();
    if (when === "stopped")
      await evening.happen({ type: "request.returned", number: 1, reason: "people", by: "terminal:okoro" });
    await evening.restart();
    expect(evening.desk.state.taken?.number ?? null).toBe(when === "taken" ? 1 : null);
    expect(evening.desk.state.stopping).toBeNull();
    expect(await events("request.taken")).toHaveLength(1);
  });

  test("stops at once for the queue: the line to the operator is a notice of the same entry", async () => {
    await take();
    await evening.happen({
      ...{ type: "requests.cancelled", cancelId: "c", numbers: [1], reason: "wind", by: "terminal:quill" },
    });
    expect(evening.desk.state).toMatchObject({ taken: null, stopping: null });
    expect(await events("telescope.stopped")).toEqual([{ type: "telescope.stopped", number: 1 }]);
  });
});

test("A frame that is handed over began when its header says", async () => {
  await take();
  const card = (text: string): string => text.padEnd(80);
  const header = [
    "SIMPLE  =                    T",
    "BITPIX  =                    8",
    "NAXIS   =                    2",
    "NAXIS1  =                    1",
    "NAXIS2  =                    1",
    "DATE-OBS= '2026-06-20T04:10:00.5'",
    "END",
  ].map(card);
  const bytes = Buffer.concat([Buffer.from(header.join("").padEnd(2880)), Buffer.alloc(2880)]);
  const request = evening.desk.state.requests.get(1)!;
  await evening.driver.handOver((keep) => keep(request, 2, { bytes }));
  expect(kept).toEqual(["2 2026-06-20T04:10:00.500Z false"]);
  await expect(
    evening.driver.handOver((keep) => keep(request, 1, { bytes: Buffer.from("no") })),
  ).rejects.toThrow("not a FITS");
});

describe("The reminder", () => {
  const overdue = () => events("action.overdue");

  test("comes once, when one has been taken for twice as long as promised, whatever is revised meanwhile", async () => {
    await take();
    const { takenUnixMs, promisedUnixMs } = evening.desk.state.taken!;
    const whole = promisedUnixMs - takenUnixMs;
    await evening.clock.moveTo(takenUnixMs + 2 * whole - SECOND);
    expect(await overdue()).toEqual([]);
    await evening.go(SECOND);
    expect(await overdue()).toEqual([{ type: "action.overdue", number: 1 }]);
    await evening.restart();
    await evening.go(10 * whole);
    expect(await overdue()).toHaveLength(1);
  });

  test("comes after a restart that happened before it, and though the disk refused it at first", async () => {
    await take();
    const { takenUnixMs, promisedUnixMs } = evening.desk.state.taken!;
    await evening.restart();
    evening.disk.full = true;
    await evening.clock.moveTo(takenUnixMs + 2 * (promisedUnixMs - takenUnixMs) + SECOND);
    expect(await overdue()).toEqual([]);
    evening.disk.full = false;
    await evening.go(MINUTE);
    expect(await overdue()).toHaveLength(1);
  });

  test("does not come for one that is done, nor early for the next", async () => {
    await take();
    await evening.happen({ type: "request.completed", number: 1 });
    await take(2);
    const { takenUnixMs, promisedUnixMs } = evening.desk.state.taken!;
    await evening.clock.moveTo(takenUnixMs + 2 * (promisedUnixMs - takenUnixMs) - SECOND);
    expect(await overdue()).toEqual([]);
  });
});

describe("Too little room on the disk", () => {
  test("holds the queue, is said once, and ends by itself when there is room", async () => {
    frames.freeBytes = 60e6;
    await evening.restart();
    expect(evening.forecast.nextStep()).toMatchObject({ do: "wait", because: "hold" });
    await expect(take()).rejects.toThrow("no room");
    await evening.go(10 * MINUTE);
    await evening.restart();
    expect(await events("disk.short")).toHaveLength(1);
    expect(evening.desk.state.waiting.size).toBe(2);
    frames.freeBytes = 1e12;
    await evening.go(MINUTE);
    expect(await events("disk.mended")).toHaveLength(1);
    expect(evening.forecast.nextStep().do).toBe("take");
  });
});
