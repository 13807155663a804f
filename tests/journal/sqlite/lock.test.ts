/** One writer per folder, for as long as it lives. */
import { existsSync, readdirSync, rmSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, test } from "vitest";
import { killAfter, startAsking } from "../child.js";
import { ask, newFolder, open } from "../support.js";

test("a second process on the same folder is refused with a sentence that says what to do", async () => {
  const folder = newFolder();
  const desk = await open(folder);
  const second = startAsking(folder, "run1");
  const said: string[] = [];
  for await (const line of second.lines) said.push(line);
  expect(said).toEqual([
    `refused in-use: Another Nightslate is already running on ${folder}: use that one, stop it first, or start this one with another data folder (--data FOLDER).`,
  ]);
  expect((await ask(desk)).entry?.id).toBe(1);
});

test("a second desk in the same process is refused too, and may open when the first has closed", async () => {
  const folder = newFolder();
  const desk = await open(folder);
  await expect(open(folder)).rejects.toMatchObject({ code: "in-use" });
  await desk.close();
  expect((await open(folder)).state.lastEntryId).toBe(0);
});

test("the folder is free again when its process has been killed", async () => {
  const folder = newFolder();
  const child = startAsking(folder, "run1");
  const acknowledged = await killAfter(child, 3);
  const desk = await open(folder);
  expect(desk.state.requests.size).toBeGreaterThanOrEqual(acknowledged.length);
});

test("junk in the lock's file is said to be that, and the journal is untouched by its removal", async () => {
  const folder = newFolder();
  const desk = await open(folder);
  await ask(desk);
  await desk.close();
  const lock = join(folder, "journal.lock");
  writeFileSync(lock, "junk ".repeat(2_000));
  await expect(open(folder)).rejects.toMatchObject({
    code: "lock-damaged",
    message: `${lock} is damaged: remove it while no Nightslate runs on ${folder}, and start again; it holds nothing of the journal.`,
  });
  rmSync(lock);
  expect((await open(folder)).state.requests.size).toBe(1);
});

describe("a folder that cannot be one is named, with the reason", () => {
  test.each([
    ["/dev/null", "there is a file where a folder should be"],
    ["/dev/null/data", "there is a file where a folder should be"],
    [`/tmp/${"x".repeat(300)}`, "the name is too long"],
  ])("%s", async (folder, reason) => {
    await expect(open(folder)).rejects.toMatchObject({
      code: "folder-unusable",
      message: `${folder} cannot be used as data folder (${reason}): make it a folder with room that can be written to, or name another with --data FOLDER.`,
    });
  });

  test.skipIf(!existsSync("/proc/self"))("where the system makes no folders and no files", async () => {
    await expect(open("/proc/nightslate")).rejects.toThrow("(no folder can be made there)");
    await expect(open("/proc/self")).rejects.toMatchObject({ code: "folder-unusable" });
  });

  test("one that is missing is made with all above it, and nothing is left of the trial", async () => {
    const folder = join(newFolder(), "made", "on", "the", "way");
    await expect(open(folder)).resolves.toBeTruthy();
    expect(readdirSync(folder).filter((name) => name.includes("try"))).toEqual([]);
  });
});
