/** A process killed at any moment has lost nothing that it acknowledged, and kept nothing twice. */
import { expect, test } from "vitest";
import { seededRandom } from "../../src/base/random.js";
import { LibsqlStore } from "../../src/journal/sqlite/libsql-store.js";
import type { State } from "../../src/journal/state.js";
import { type Acknowledged, killAfter, startAsking } from "./child.js";
import { newFolder, open } from "./support.js";

const KILLS = 4;

/** What was acknowledged but is missing, or stands under another number. */
function lost(state: State, acknowledged: readonly Acknowledged[]): Acknowledged[] {
  return acknowledged.filter(({ number, note }) => state.requests.get(number)?.note !== note);
}

test(`killed ${KILLS} times while it works: every acknowledged request is there, in order, none twice`, async () => {
  const folder = newFolder();
  const random = seededRandom(20261125);
  const acknowledged: Acknowledged[] = [];
  for (let run = 1; run <= KILLS; run++) {
    const count = 1 + Math.floor(random.uniform() * 120);
    const heard = await killAfter(startAsking(folder, `run${run}`), count);
    expect(heard.length).toBeGreaterThanOrEqual(count);
    acknowledged.push(...heard);
    const desk = await open(folder);
    expect(desk.reports).toEqual([]);
    expect(lost(desk.state, acknowledged)).toEqual([]);
    const notes = [...desk.state.requests.values()].map(({ note }) => note);
    expect(new Set(notes).size).toBe(notes.length);
    expect([...desk.state.requests.keys()]).toEqual(notes.map((_, index) => index + 1));
    expect(desk.state.outbox.size).toBe(notes.length);
    await desk.close();
  }
  expect(acknowledged.map(({ number }) => number)).toEqual(
    acknowledged.map(({ number }) => number).sort((a, b) => a - b),
  );
  const store = new LibsqlStore(`${folder}/journal.db`);
  await store.connect();
  expect(store.database.prepare("PRAGMA integrity_check").raw().all()).toEqual([["ok"]]);
  await store.disconnect();
});

test("killed between storing and acknowledging, the request is there", async () => {
  const folder = newFolder();
  expect(await killAfter(startAsking(folder, "run1", "store-first"), 1)).toEqual([]);
  const desk = await open(folder);
  expect(desk.state.requests.get(1)?.note).toBe("run1-1");
});

test("control: acknowledging before storing loses a request under the same kill", async () => {
  const folder = newFolder();
  const acknowledged = await killAfter(startAsking(folder, "run1", "acknowledge-first"), 2);
  expect(acknowledged).toHaveLength(1);
  const desk = await open(folder);
  expect(lost(desk.state, acknowledged)).toEqual(acknowledged);
});
