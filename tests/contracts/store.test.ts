/** Every kind of store keeps the same promises: rows, the one writer's lock, reading beside it, and a desk on top. */
import { join } from "node:path";
import Keyv from "keyv";
import { beforeAll, describe, expect, test } from "vitest";
import { silentLog } from "../../src/base/log.js";
import { keyvAdapter } from "../../src/journal/keyv-adapter.js";
import { MemoryMedium } from "../../src/journal/memory/memory-store.js";
import { openDesk } from "../../src/journal/open-desk.js";
import { openStore, type StoreConfig } from "../../src/journal/open-store.js";
import { LibsqlStore } from "../../src/journal/sqlite/libsql-store.js";
import type { JournalStore, OpenedStore, Row } from "../../src/journal/store.js";
import { ManualClock } from "../../src/tools/manual-clock.js";
import { hasPostgres, postgresServer, type TestServer } from "../journal/postgres/server.js";
import { all, ask, contents, EVENING, newFolder, noNotices } from "../journal/support.js";

const KINDS: readonly [name: string, place: () => StoreConfig][] = [
  ["memory", () => ({ kind: "memory", medium: new MemoryMedium() })],
  ["sqlite", () => ({ kind: "sqlite", folder: newFolder() })],
  ...(hasPostgres() ? [["postgres", newPostgresPlace] as [string, () => StoreConfig]] : []),
];

let database: TestServer | null = null;
function newPostgresPlace(): StoreConfig {
  return (database as TestServer).newPlace();
}
beforeAll(async () => {
  database = await postgresServer();
});

const rowsOf = (...keys: string[]): Row[] => keys.map((key) => ({ key, value: key.toUpperCase() }));
const notLost = (clause: string): void => expect.unreachable(clause);

describe.each(KINDS)("a %s store", (_, newPlace) => {
  async function opened(place = newPlace()): Promise<OpenedStore> {
    const found = await openStore(place);
    await found.lock.take(notLost);
    await found.store.connect();
    return found;
  }
  const connected = async (place = newPlace()): Promise<JournalStore> => (await opened(place)).store;

  test("gives back what was set last, in the order asked for, and undefined for what was not", async () => {
    const store = await connected();
    expect(await store.setMany(rowsOf("a", "b", "c"))).toEqual([true, true, true]);
    await store.setMany([{ key: "a", value: "two ☾ 🔭" }]);
    expect(await store.getMany(["c", "x", "a"])).toEqual(["C", undefined, "two ☾ 🔭"]);
    expect(await store.getMany([])).toEqual([]);
  });

  test("lists the keys of a range in code-point order, the end not included", async () => {
    const store = await connected();
    await store.setMany(rowsOf("b:2", "a:9", "b:1", "c:0", "b:10", "B:3"));
    expect(await store.keys("b:", "c")).toEqual(["b:1", "b:10", "b:2"]);
    expect((await store.keys("", "~"))[0]).toBe("B:3");
  });

  test("deletes many at once, and only those", async () => {
    const store = await connected();
    await store.setMany(rowsOf("b", "c", "d", "e"));
    await store.deleteMany(["c", "e", "never"]);
    expect(await store.keys("", "~")).toEqual(["b", "d"]);
  });

  test("serves an ordinary keyv", async () => {
    const store = keyvAdapter(await connected());
    const keyv = new Keyv<object>({ store, namespace: "n", throwOnErrors: true });
    await keyv.set("a", { magnitude: 5.8 });
    await keyv.setMany([{ key: "b", value: { magnitude: 6.2 } }]);
    expect(await keyv.getMany(["b", "a", "z"])).toEqual([{ magnitude: 6.2 }, { magnitude: 5.8 }, undefined]);
    expect([await keyv.delete("a"), await keyv.delete("a")]).toEqual([true, false]);
    await keyv.clear();
    expect(await keyv.get("b")).toBeUndefined();
  });

  test("says that its structure is sound, and holds nothing back when it settles", async () => {
    const store = await connected();
    await store.setMany(rowsOf("a"));
    await store.settle();
    expect(await store.structureFault()).toBeNull();
    expect(await store.getMany(["a"])).toEqual(["A"]);
  });

  test("may be connected twice, and anew after it was disconnected, with all that it held", async () => {
    const store = await connected();
    await store.connect();
    await store.setMany(rowsOf("a"));
    await store.disconnect();
    await store.disconnect();
    await store.connect();
    expect(await store.getMany(["a"])).toEqual(["A"]);
  });

  test("has one writer: a second is refused with a sentence until the first lets go", async () => {
    const place = newPlace();
    const first = await opened(place);
    const second = await openStore(place);
    await expect(second.lock.take(notLost)).rejects.toMatchObject({ code: "in-use" });
    await first.lock.take(notLost);
    await first.store.setMany(rowsOf("a"));
    await first.store.disconnect();
    await first.lock.release();
    await first.lock.release();
    await second.lock.take(notLost);
    await second.store.connect();
    expect(await second.store.setMany(rowsOf("b"))).toEqual([true]);
    expect(await second.store.keys("", "~")).toEqual(["a", "b"]);
  });

  test("can be read beside its writer: who follows asks for the keys after the last it knows", async () => {
    const place = newPlace();
    const writer = await opened(place);
    const follower = (await openStore(place)).store;
    await writer.store.setMany(rowsOf("entry:1", "entry:2"));
    await follower.connect();
    expect(await follower.keys("entry:", "entry;")).toEqual(["entry:1", "entry:2"]);
    await writer.store.setMany(rowsOf("entry:3"));
    expect(await follower.keys("entry:2\0", "entry;")).toEqual(["entry:3"]);
    expect(await follower.getMany(["entry:3"])).toEqual(["ENTRY:3"]);
    await follower.disconnect();
  });

  test("explains an unknown failure as nothing stored, and has a sentence for a journal that cannot be read", async () => {
    const { explain } = await opened();
    expect(explain.fault(new Error("?"))).toEqual({
      kind: "refused",
      clause: "the journal could not be written",
    });
    expect(explain.unopened(null)).toMatchObject({ code: "journal-unreadable" });
  });

  test("carries a desk from one process to the next, and lets go when it closes", async () => {
    const store = newPlace();
    const open = () =>
      openDesk({ store, clock: new ManualClock(EVENING), derive: noNotices, log: silentLog });
    const desk = await open();
    await Promise.all([ask(desk), ask(desk)]);
    await expect(open()).rejects.toMatchObject({ code: "in-use" });
    const state = contents(desk.state);
    await desk.close();
    const next = await open();
    expect([contents(next.state), next.reports]).toEqual([state, []]);
    expect((await ask(next)).entry?.id).toBe(3);
    expect((await all(next.entries())).map(({ id }) => id)).toEqual([1, 2, 3]);
    await next.close();
  });
});

describe("a store in SQLite", () => {
  async function inFile(): Promise<LibsqlStore> {
    const store = new LibsqlStore(join(newFolder(), "store.db"));
    await store.connect();
    return store;
  }

  test("stores all rows of a batch or none", async () => {
    const store = await inFile();
    await store.setMany(rowsOf("before"));
    const rows = [...rowsOf("a"), { key: "b", value: null as unknown as string }];
    await expect(store.setMany(rows)).rejects.toThrow(/NOT NULL/);
    expect(await store.keys("", "~")).toEqual(["before"]);
    expect(await store.setMany(rowsOf("after"))).toEqual([true]);
  });

  test("syncs every commit to a write-ahead log", async () => {
    const { database } = await inFile();
    const pragma = (name: string): unknown => database.prepare(`PRAGMA ${name}`).raw().get();
    expect([pragma("journal_mode"), pragma("synchronous")]).toEqual([["wal"], [2]]);
  });

  test("reads a text that is not UTF-8 without ending the process", async () => {
    const store = await inFile();
    store.database.exec("INSERT INTO keyv VALUES ('bad', CAST(x'41ff42' AS TEXT))");
    expect(await store.getMany(["bad"])).toEqual(["A\ufffdB"]);
  });

  test("that is not open says so", () => {
    expect(() => new LibsqlStore("nowhere/store.db").database).toThrow("nowhere/store.db is not open");
  });
});
