/** A real folder, watched: a file is told of once it is whole. */
import { appendFileSync, mkdirSync, mkdtempSync, renameSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterEach, beforeEach, expect, test } from "vitest";
import { watchFolder } from "../../../src/telescope/folder/watch-folder.js";
import { ManualClock } from "../../../src/tools/manual-clock.js";

const WHOLE_MS = 5_000;
let folder = "";
let clock: ManualClock;
let whole: string[] = [];
let heard: () => void = () => {};
let end: () => Promise<void>;

beforeEach(async () => {
  folder = mkdtempSync(join(tmpdir(), "watched-"));
  clock = new ManualClock(Date.parse("2026-06-15T05:00:00Z"));
  whole = [];
  end = watchFolder({
    path: folder,
    clock,
    wholeMs: WHOLE_MS,
    onTrouble: (error) => {
      throw error;
    },
    onWhole: (path) => {
      whole.push(path.slice(folder.length + 1));
      heard();
    },
  });
});
afterEach(async () => {
  await end();
  rmSync(folder, { recursive: true });
});

/** Moves the clock on, turn by turn, until a file has been told of. */
async function nextWhole(): Promise<void> {
  const before = whole.length;
  const told = new Promise<void>((done) => {
    heard = done;
  });
  let over = false;
  void told.then(() => {
    over = true;
  });
  while (!over && whole.length === before) {
    await clock.moveTo(clock.now() + WHOLE_MS);
    await new Promise<void>((done) => setImmediate(done));
  }
}

test("one that is renamed into place is whole at once, in a folder inside it too", async () => {
  mkdirSync(join(folder, "M13"));
  const part = join(folder, "M13", "light.part");
  writeFileSync(part, "x".repeat(100));
  renameSync(part, join(folder, "M13", "light.fits"));
  await nextWhole();
  expect(whole).toEqual([join("M13", "light.fits")]);
});

test("one that is being written is told of when it has stood unchanged, and other files never", async () => {
  const path = join(folder, "light.fit.gz");
  writeFileSync(path, "x");
  writeFileSync(join(folder, "notes.txt"), "x");
  writeFileSync(join(folder, ".hidden.fits"), "x");
  appendFileSync(path, "y".repeat(50));
  await nextWhole();
  expect(whole).toEqual(["light.fit.gz"]);
});
