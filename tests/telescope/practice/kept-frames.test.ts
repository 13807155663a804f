/** Frames on a disk: whole or not at all, room left for the journal, and gone when they are old. */
import { existsSync, mkdirSync, mkdtempSync, readdirSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterEach, beforeEach, describe, expect, test } from "vitest";
import { removeNightsBefore, removeUnfinished, writeAll } from "../../../src/telescope/frames/kept-files.js";
import { openFrames } from "../../../src/telescope/practice/frames.js";
import { config } from "./practice-example.js";

let folder = "";
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), "kept-frames-"));
});
afterEach(() => rmSync(folder, { recursive: true, force: true }));

const bytes = new Uint8Array(10);

describe("the files of one frame", () => {
  test("are all there in the end, under their own names", async () => {
    const files = ["1.fits", "1.png"].map((name) => ({ path: join(folder, name), bytes }));
    await writeAll(files, folder);
    expect(readdirSync(folder)).toEqual(["1.fits", "1.png"]);
  });

  test("are none of them there when the second fails: the room of the first is free again", async () => {
    const files = [
      { path: join(folder, "1.fits"), bytes },
      { path: join(folder, "missing", "1.png"), bytes },
    ];
    await expect(writeAll(files, folder)).rejects.toMatchObject({ code: "ENOENT" });
    expect(readdirSync(folder)).toEqual([]);
  });

  test("are not begun where they would leave the journal no room", async () => {
    const larger = { length: Number.MAX_SAFE_INTEGER } as Uint8Array;
    const writing = writeAll([{ path: join(folder, "1.fits"), bytes: larger }], folder);
    await expect(writing).rejects.toMatchObject({ code: "ENOSPC" });
    expect(readdirSync(folder)).toEqual([]);
  });
});

describe("what is left in the folder of frames", () => {
  function night(date: string, ...names: string[]): void {
    mkdirSync(join(folder, date), { recursive: true });
    for (const name of names) writeFileSync(join(folder, date, name), bytes);
  }

  test("half-written files go, whole ones stay", async () => {
    night("2026-11-24", "1.fits", "2.fits.part");
    night("2026-11-25", "3.png.part", "3.fits");
    await removeUnfinished(folder);
    expect(readdirSync(join(folder, "2026-11-24"))).toEqual(["1.fits"]);
    expect(readdirSync(join(folder, "2026-11-25"))).toEqual(["3.fits"]);
    await expect(removeUnfinished(join(folder, "nothing-yet"))).resolves.toBeUndefined();
  });

  test("nights before a date go, and nothing that is no night", async () => {
    for (const name of ["2026-11-23", "2026-11-24", "2026-11-25", "my-best"]) night(name, "1.fits");
    writeFileSync(join(folder, "1999-note.txt"), "mine");
    await removeNightsBefore(folder, "2026-11-25");
    expect(readdirSync(folder).sort()).toEqual(["1999-note.txt", "2026-11-25", "my-best"]);
  });

  test("go after the configuration's days", async () => {
    const kept = (date: string): string => join(folder, "frames", date);
    for (const date of ["2026-11-14", "2026-11-15"]) mkdirSync(kept(date), { recursive: true });
    const frames = openFrames({ ...config, keepDays: 10 }, folder);
    await frames.removeOld("2026-11-25");
    await frames.close();
    expect([existsSync(kept("2026-11-14")), existsSync(kept("2026-11-15"))]).toEqual([false, true]);
  });
});
