/** Frames that any camera program leaves in a folder: matched, taken, completed, or put before the operator. */
import { mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterEach, beforeEach, describe, expect, test } from "vitest";
import type { Log } from "../../../src/base/log.js";
import { SECOND } from "../../../src/base/units.js";
import { readFacts } from "../../../src/telescope/folder/frame-facts.js";
import { FolderLink } from "../../../src/telescope/folder/link.js";
import type { FitsSource } from "../../../src/telescope/frames/byte-reader.js";
import { encodeFits } from "../../../src/telescope/frames/fits.js";
import type { Card } from "../../../src/telescope/frames/fits-cards.js";
import type { FrameStore } from "../../../src/telescope/frames/frame-store.js";
import { Evening, plainFrame } from "../evening.js";
import { JUNE_NIGHT } from "../practice/practice-example.js";

let folder = "";
let evening: Evening;
let link: FolderLink;
let told: string[] = [];
let kept: string[] = [];
/** Set: no frame can be kept. */
let spoilt: Error | null = null;

beforeEach(async () => {
  folder = mkdtempSync(join(tmpdir(), "folder-"));
  told = [];
  kept = [];
  const log = { ...silent, warn: (_facts: object, said: string) => void told.push(said) } as unknown as Log;
  evening = await Evening.begin(
    (makeFrame) => {
      const frames: FrameStore<FitsSource> = {
        keep: (order, source) => {
          if (spoilt) throw spoilt;
          kept.push("path" in source ? source.path : "bytes");
          return makeFrame(order);
        },
        removeOld: async () => {},
        close: async () => {},
        freeBytes: async () => Number.POSITIVE_INFINITY,
      };
      link = new FolderLink({ frames, read: readFacts, watch: () => async () => {} });
      return link;
    },
    plainFrame,
    log,
  );
});
afterEach(async () => {
  await evening.driver.stop();
  rmSync(folder, { recursive: true });
});

const silent = { info: () => {}, warn: () => {}, error: () => {}, debug: () => {} };

/** A frame of the place that both requests are for, begun so many seconds into the evening. */
async function leave(name: string, atSeconds: number, change: Record<string, Card["value"] | null> = {}) {
  const path = join(folder, name);
  const cards = Object.entries({
    "DATE-OBS": new Date(JUNE_NIGHT + atSeconds * SECOND).toISOString().slice(0, -1),
    EXPTIME: 30,
    FILTER: "V",
    OBJCTRA: "16 40 00",
    OBJCTDEC: "+38 00 30",
    ...change,
  }).flatMap(([keyword, value]) => (value === null ? [] : [{ keyword, value }]));
  writeFileSync(path, encodeFits({ width: 8, height: 8, pixels: new Uint16Array(64) }, cards));
  await find(path);
}

async function happened(type: string): Promise<unknown[]> {
  const found: unknown[] = [];
  for await (const { events } of evening.desk.entries())
    found.push(...events.filter((each) => each.type === type));
  return found;
}

async function find(path: string): Promise<void> {
  link.found(path);
  await link.settled();
  await evening.settle();
}

describe("a frame that is found", () => {
  test("with its number marks its request taken, and the last one done", async () => {
    await leave("light-0001.fits", 100, { OBJECT: "M13 #1" });
    expect(await evening.said()).toEqual(["request.taken 1", "frame.done 1"]);
    await leave("frame #1 b.fits", 140);
    expect(await evening.said()).toEqual([
      "request.taken 1",
      "frame.done 1",
      "frame.done 1",
      "request.completed 1",
    ]);
    expect(told).toEqual([]);
  });

  test("without a number goes to the request under way whose place, filter and length it has", async () => {
    await leave("#2 first.fits", 100);
    await leave("second.fits", 140);
    expect(await evening.said()).toEqual([
      "request.taken 2",
      "frame.done 2",
      "frame.done 2",
      "request.completed 2",
    ]);
  });

  test("that fits two requests is put before the operator with both, and never guessed", async () => {
    await leave("light.fits", 100);
    expect(await evening.said()).toEqual([]);
    expect(told).toEqual([
      expect.stringMatching(
        /it fits several requests; nearest: #1 .*; #2 .*; with the number in its name, such as #1, it is taken/,
      ),
    ]);
  });

  test("that fits nothing says what speaks against the nearest", async () => {
    await leave("light.fits", 100, { FILTER: "R", OBJCTRA: "17 40 00", EXPTIME: 60 });
    expect(await evening.said()).toEqual([]);
    expect(told[0]).toMatch(
      /it fits no request; nearest: #1 .* \(11\.\d° off, filter R instead of V, 60 s instead of 30 s\)/,
    );
  });

  test("that fits nothing is put before the operator once, however often the queue moves", async () => {
    await leave("light.fits", 100, { FILTER: "R" });
    await evening.happen({ type: "request.withdrawn", number: 1 });
    await link.settled();
    await evening.ask(3);
    await link.settled();
    expect(await happened("frames.unplaced")).toHaveLength(1);
  });

  test("of a request that was put back is its first again", async () => {
    await leave("#1 a.fits", 100);
    await evening.happen({ type: "request.failed", number: 1, reason: "cloud" });
    await evening.happen({
      type: "request.returned",
      number: 1,
      reason: "clear again",
      by: "terminal:quill",
    });
    await leave("#1 b.fits", 200);
    await leave("#1 c.fits", 240);
    expect((await evening.said()).slice(2)).toEqual([
      "request.failed 1",
      "request.taken 1",
      "frame.done 1",
      "frame.done 1",
      "request.completed 1",
    ]);
  });

  test("that cannot be kept takes nothing", async () => {
    spoilt = new Error("This FITS file is cut short: its image ends too early.");
    await leave("#1 a.fits", 100);
    expect([await evening.said(), told[0]]).toEqual([
      [],
      expect.stringContaining("cut short: its image ends"),
    ]);
    spoilt = null;
    await evening.ask(3);
    await link.settled();
    expect(await evening.said()).toEqual([]);
    await leave("#1 a.fits", 100);
    expect(await evening.said()).toEqual(["request.taken 1", "frame.done 1"]);
  });

  test("twice, or again after a restart, counts once", async () => {
    await leave("#1 a.fits", 100);
    await leave("#1 copy of a.fits", 100);
    await evening.restart();
    await find(join(folder, "#1 a.fits"));
    expect(await evening.said()).toEqual(["request.taken 1", "frame.done 1"]);
    await leave("#1 b.fits", 140);
    expect((await evening.said()).at(-1)).toBe("request.completed 1");
  });

  test("while another is under way waits until that is over", async () => {
    await leave("#1 a.fits", 100);
    await leave("#2 a.fits", 140);
    expect(told[0]).toMatch(/#1 is under way/);
    await leave("#1 b.fits", 180);
    await link.settled();
    await evening.settle();
    await link.settled();
    expect(await evening.said()).toContain("frame.done 2");
  });

  test("during a hold is not taken, and is when the hold is lifted", async () => {
    const hold = { reason: "cloud", by: "terminal:quill", sinceUnixMs: JUNE_NIGHT, untilUnixMs: null };
    await evening.happen({ type: "hold.placed", hold });
    await leave("#1 a.fits", 100);
    expect(await evening.said()).toEqual([]);
    expect(told[0]).toMatch(/on hold: cloud/);
    await evening.happen({ type: "hold.lifted", by: "terminal:quill" });
    await link.settled();
    await evening.settle();
    expect(await evening.said()).toEqual(["request.taken 1", "frame.done 1"]);
  });

  test("of a request that is over, or of none, says so", async () => {
    await leave("#7.fits", 100);
    await evening.happen({ type: "request.withdrawn", number: 2 });
    await leave("#2.fits", 100);
    expect(told.map((said) => said.split(";")[0])).toEqual([
      "a frame was not placed: there is no request #7",
      "a frame was not placed: #2 is withdrawn",
    ]);
  });

  test("of an earlier night, left lying in the folder, is passed over", async () => {
    await leave("#1 old.fits", -86_400);
    expect([await evening.said(), told]).toEqual([[], []]);
  });

  test("that cannot be read spoils nothing, and is said once", async () => {
    const path = join(folder, "#1 broken.fits");
    writeFileSync(path, "SIMPLE  = nonsense");
    await find(path);
    await find(path);
    await evening.restart();
    await find(path);
    expect(told).toEqual(Array(2).fill(expect.stringMatching(/no end of header/)));
    expect(await happened("frames.unplaced")).toHaveLength(1);
    expect(await evening.said()).toEqual([]);
  });

  test("among five hundred at once is placed, and all others are set aside", async () => {
    for (let index = 0; index < 500; index++)
      writeFileSync(join(folder, `stray-${index}.fits`), "not a frame");
    for (let index = 0; index < 500; index++) link.found(join(folder, `stray-${index}.fits`));
    await leave("#1 a.fits", 100);
    expect(await evening.said()).toEqual(["request.taken 1", "frame.done 1"]);
    expect(told).toHaveLength(500);
    const unplaced = await happened("frames.unplaced");
    expect(unplaced).toEqual([expect.objectContaining({ total: 500 })]);
  });
});

test("what an operator presses counts as well: done before the last frame, and none is waited for", async () => {
  await leave("#1 a.fits", 100);
  await evening.happen({ type: "request.completed", number: 1 });
  await leave("#2 a.fits", 140);
  expect(await evening.said()).toEqual([
    "request.taken 1",
    "frame.done 1",
    "request.completed 1",
    "request.taken 2",
    "frame.done 2",
  ]);
});
