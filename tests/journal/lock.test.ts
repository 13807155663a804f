/** One writer per folder, for as long as it lives. */
import { expect, test } from "vitest";
import { killAfter, startAsking } from "./child.js";
import { ask, newFolder, open } from "./support.js";

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

test("a folder that cannot be one is named", async () => {
  const folder = newFolder();
  await expect(open("/dev/null/data")).rejects.toThrow("/dev/null/data cannot be used as data folder");
  await expect(open("/dev/null/data")).rejects.toMatchObject({ code: "folder-unusable" });
  await expect(open(`${folder}/made/on/the/way`)).resolves.toBeTruthy();
});
