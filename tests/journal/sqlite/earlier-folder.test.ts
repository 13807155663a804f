/** A data folder that an earlier version left behind opens as it was: two requests completed, one taken with its frame. */
import { cpSync } from "node:fs";
import { fileURLToPath } from "node:url";
import { expect, test } from "vitest";
import { all, ask, newFolder, open, record } from "../support.js";

const EARLIER = fileURLToPath(new URL("earlier-folder", import.meta.url));

test("an earlier version's folder is taken up without a report, and goes on", async () => {
  const folder = newFolder();
  cpSync(EARLIER, folder, { recursive: true });
  const desk = await open(folder);
  expect([desk.reports, desk.state.lastEntryId]).toEqual([[], 11]);
  expect([...desk.state.requests.values()].map(({ state }) => state)).toEqual([
    "completed",
    "completed",
    "taken",
  ]);
  expect(desk.state.frames.get(3)?.[0]?.imageFile).toBe("3-1.fits");
  await record(desk, { type: "request.completed", number: 3 });
  expect((await ask(desk)).entry).toMatchObject({ id: 13, events: [{ number: 4 }] });
  await desk.close();
  const again = await open(folder);
  expect([again.reports, (await all(again.entries())).length]).toEqual([[], 13]);
});
