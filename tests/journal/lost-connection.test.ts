/** When the store's connection breaks, or another becomes its writer: nothing is assumed, nothing is stored twice. */
import { expect, test } from "vitest";
import { silentLog } from "../../src/base/log.js";
import { emptyState } from "../../src/journal/draft.js";
import { Journal } from "../../src/journal/journal.js";
import { JournalDesk } from "../../src/journal/journal-desk.js";
import { MemoryMedium, MemoryStore, openMemory } from "../../src/journal/memory/memory-store.js";
import { openDesk } from "../../src/journal/open-desk.js";
import type { Row } from "../../src/journal/store.js";
import { ManualClock } from "../../src/tools/manual-clock.js";
import { all, ask, EVENING, noNotices } from "./support.js";

/** A store whose connection breaks on the next write, before it arrived or after, and stays away a while. */
class BreakingStore extends MemoryStore {
  breaks: "before" | "after" | null = null;
  away = false;

  override async connect(): Promise<void> {
    if (this.away) throw new Error("no answer");
  }

  override async setMany(rows: readonly Row[]): Promise<boolean[]> {
    const { breaks } = this;
    this.breaks = null;
    if (breaks !== "before") await super.setMany(rows);
    if (breaks) throw Object.assign(new Error("reset"), { code: "CONNECTION_LOST" });
    return rows.map(() => true);
  }
}

async function deskOnBreaking() {
  const medium = new MemoryMedium();
  const store = new BreakingStore(medium);
  const opened = openMemory(medium, store);
  const troubles: (string | null)[] = [];
  const heard: number[] = [];
  const take = () => opened.lock.take((clause) => desk.depose(clause));
  const desk: JournalDesk = new JournalDesk(new Journal(opened), emptyState(), 0, {
    clock: new ManualClock(EVENING),
    derive: noNotices,
    log: silentLog,
    trouble: (clause) => troubles.push(clause),
    retake: async () => {
      await store.connect();
      await take();
    },
  });
  await take();
  desk.listen(({ id }) => heard.push(id));
  await ask(desk);
  return { desk, medium, store, troubles, heard };
}

test("what had arrived when the connection broke is passed on once, before the next decision is made", async () => {
  const { desk, store, troubles, heard } = await deskOnBreaking();
  store.breaks = "after";
  await expect(ask(desk, "terminal:ines", {}, "press-1")).rejects.toMatchObject({ code: "unsure" });
  expect([desk.state.lastEntryId, heard]).toEqual([1, [1]]);
  expect(await ask(desk, "terminal:ines", {}, "press-1")).toMatchObject({ entry: { id: 2 }, repeated: true });
  expect((await ask(desk)).entry?.id).toBe(3);
  expect([desk.state.requests.size, heard]).toEqual([3, [1, 2, 3]]);
  expect(troubles).toEqual(["the connection to it was lost", null]);
});

test("what had not arrived is forgotten, and its number is given to the next", async () => {
  const { desk, store, heard } = await deskOnBreaking();
  store.breaks = "before";
  await expect(ask(desk, "terminal:ines")).rejects.toThrow("Look before you ask again.");
  const { entry } = await ask(desk);
  expect(entry?.events).toMatchObject([{ number: 2, owner: "terminal:mira" }]);
  expect([(await all(desk.entries())).length, heard]).toEqual([2, [1, 2]]);
});

test("while the store is away every act is refused as not stored, and the doubt is settled once it is back", async () => {
  const { desk, store, heard } = await deskOnBreaking();
  store.breaks = "after";
  await expect(ask(desk)).rejects.toMatchObject({ code: "unsure" });
  store.away = true;
  await expect(ask(desk)).rejects.toMatchObject({ code: "not-stored" });
  await expect(ask(desk)).rejects.toMatchObject({ code: "not-stored" });
  store.away = false;
  await ask(desk);
  expect(heard).toEqual([1, 2, 3]);
});

test.each([
  ["has gone again", true, "another has written to the journal meanwhile"],
  ["is still there", false, "another has become its writer"],
])("after another wrote, who %s, nothing more is stored here", async (_, gone, words) => {
  const { desk, medium, store, heard } = await deskOnBreaking();
  store.breaks = "before";
  await expect(ask(desk)).rejects.toMatchObject({ code: "unsure" });
  medium.lost = () => {};
  medium.depose();
  const kept = { kind: "memory", medium } as const;
  const options = { clock: new ManualClock(EVENING), derive: noNotices, log: silentLog };
  const other = await openDesk({ store: kept, ...options });
  expect((await ask(other, "terminal:tomas")).entry?.id).toBe(2);
  if (gone) await other.close();
  await expect(ask(desk)).rejects.toMatchObject({ code: "deposed" });
  await expect(ask(desk)).rejects.toThrow(words);
  expect([heard, medium.rows.size]).toEqual([[1], 2]);
});

test("a writer that has been replaced stores nothing, however late it wakes up, and says so once", async () => {
  const { desk, medium, store, troubles } = await deskOnBreaking();
  medium.depose();
  await expect(ask(desk)).rejects.toThrow(
    "Nothing is stored here any more: another has become its writer. Use that one, or start this one again.",
  );
  await expect(store.setMany([{ key: "late", value: "x" }])).rejects.toMatchObject({ code: "NOT_WRITER" });
  expect(medium.rows.has("late")).toBe(false);
  expect(troubles).toEqual(["another has become its writer"]);
});

test("a write that finds another writer is refused, and the desk knows from then on", async () => {
  const { desk, medium } = await deskOnBreaking();
  medium.lost = () => {};
  medium.depose();
  await expect(ask(desk)).rejects.toMatchObject({ code: "deposed" });
  await expect(ask(desk)).rejects.toThrow("Use that one");
  expect(desk.state.lastEntryId).toBe(1);
});
