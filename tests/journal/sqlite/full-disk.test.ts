/** When the disk refuses: one sentence, nothing lost, and all well again once it accepts. */
import { describe, expect, test } from "vitest";
import { silentLog } from "../../../src/base/log.js";
import type { Desk } from "../../../src/journal/desk.js";
import { emptyState } from "../../../src/journal/draft.js";
import { Journal } from "../../../src/journal/journal.js";
import { JournalDesk } from "../../../src/journal/journal-desk.js";
import { MemoryStore } from "../../../src/journal/memory/memory-store.js";
import type { LibsqlStore } from "../../../src/journal/sqlite/libsql-store.js";
import { openSqlite } from "../../../src/journal/sqlite/open.js";
import type { JournalStore } from "../../../src/journal/store.js";
import { ManualClock } from "../../../src/tools/manual-clock.js";
import { all, ask, contents, EVENING, newFolder, noNotices, open } from "../support.js";

const FULL = "Nothing was stored and nothing has changed: the disk is full; free some space, then try again.";

/** A desk on any store, whose errors are SQLite's. */
function deskOn(store: JournalStore): Desk {
  const { explain } = openSqlite(".");
  return new JournalDesk(new Journal({ store, explain }), emptyState(), 0, {
    clock: new ManualClock(EVENING),
    derive: noNotices,
    log: silentLog,
  });
}

async function inFolder(folder: string): Promise<LibsqlStore> {
  const store = openSqlite(folder).store as LibsqlStore;
  await store.connect();
  return store;
}

/** A store on which the next writes fail in a chosen way. */
class FailingStore extends MemoryStore {
  fault: (() => boolean[]) | null = null;

  override async setMany(rows: Parameters<MemoryStore["setMany"]>[0]): Promise<boolean[]> {
    return this.fault ? this.fault() : super.setMany(rows);
  }
}

const failing = (code: string) => (): never => {
  throw Object.assign(new Error("disk fault"), { code });
};

describe("a disk that is full", () => {
  test("refuses with one sentence, keeps what was stored, and accepts again when there is room", async () => {
    const folder = newFolder();
    const store = await inFolder(folder);
    const desk = deskOn(store);
    await ask(desk);
    const pages = store.database.prepare("PRAGMA page_count").raw().get() as unknown as [number];
    store.database.exec(`PRAGMA max_page_count = ${pages[0] + 4}`);
    let refusal: { code: string; message: string } | null = null;
    while (!refusal) {
      refusal = await ask(desk).then(
        () => null,
        (error) => error,
      );
    }
    expect(refusal).toMatchObject({ code: "not-stored", message: FULL });
    const accepted = desk.state.requests.size;
    const before = contents(desk.state);
    await expect(Promise.all([ask(desk), ask(desk)])).rejects.toThrow(FULL);
    expect(contents(desk.state)).toBe(before);
    store.database.exec("PRAGMA max_page_count = 100000");
    expect((await ask(desk)).entry?.id).toBe(accepted + 1);
    await desk.close();
    const again = await open(folder);
    expect([again.reports, again.state.requests.size]).toEqual([[], accepted + 1]);
  });

  test("fails a whole burst, of which nothing is seen, told or remembered", async () => {
    const store = new FailingStore();
    const desk = deskOn(store);
    const heard: number[] = [];
    desk.listen(({ id }) => heard.push(id));
    store.fault = failing("SQLITE_FULL");
    const burst = [
      ask(desk, "terminal:mira", {}, "press-1"),
      ask(desk),
      ask(desk, "terminal:mira", {}, "press-1"),
    ];
    const outcomes = await Promise.allSettled(burst);
    expect(outcomes.map(({ status }) => status)).toEqual(["rejected", "rejected", "rejected"]);
    expect([heard, desk.state.lastEntryId, await all(desk.entries())]).toEqual([[], 0, []]);
    store.fault = null;
    expect(await ask(desk, "terminal:mira", {}, "press-1")).toMatchObject({
      entry: { id: 1 },
      repeated: false,
    });
  });

  test("does not keep a start from an existing journal, nor a snapshot from being tried again", async () => {
    const store = new FailingStore();
    const desk = deskOn(store);
    const setMany = store.setMany.bind(store);
    store.setMany = async (rows) =>
      rows[0]?.key.startsWith("snapshot:") ? failing("SQLITE_FULL")() : setMany(rows);
    for (let burst = 0; burst < 5; burst++) await Promise.all(Array.from({ length: 250 }, () => ask(desk)));
    expect(desk.state.lastEntryId).toBe(1_250);
    store.setMany = setMany;
    for (let burst = 0; burst < 4; burst++) await Promise.all(Array.from({ length: 250 }, () => ask(desk)));
    expect(await store.keys("snapshot:", "snapshot;")).toContain("snapshot:000000002000");
  });
});

test("a disk too full to fold the log into the file at the end lets go of both, and nothing is lost", async () => {
  const folder = newFolder();
  const store = await inFolder(folder);
  const desk = deskOn(store);
  await ask(desk);
  store.settle = failing("SQLITE_FULL");
  await desk.close();
  expect(() => store.database).toThrow("is not open");
  expect((await open(folder)).state.requests.size).toBe(1);
});

describe("other refusals of the disk", () => {
  test.each([
    ["SQLITE_READONLY", "may not be written to"],
    ["SQLITE_BUSY", "another program"],
    ["SQLITE_IOERR_WRITE", "reports a fault"],
    ["SQLITE_CORRUPT", "restart Nightslate"],
    ["EWHATEVER", "could not be written"],
  ])("%s is one sentence of its own", async (code, words) => {
    const store = new FailingStore();
    store.fault = failing(code);
    const act = ask(deskOn(store));
    await expect(act).rejects.toMatchObject({ code: "not-stored", message: expect.stringContaining(words) });
  });

  test("a store that says no instead of throwing is believed", async () => {
    const store = new FailingStore();
    store.fault = () => [false];
    await expect(ask(deskOn(store))).rejects.toMatchObject({ code: "not-stored" });
    store.fault = () => [];
    await expect(ask(deskOn(store))).rejects.toMatchObject({ code: "not-stored" });
  });
});
