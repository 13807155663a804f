/** Every journal store keeps the same promises. */
import { join } from "node:path";
import Keyv, { type KeyvStoreAdapter } from "keyv";
import { describe, expect, test } from "vitest";
import { MemoryStore } from "../../src/journal/memory/memory-store.js";
import { LibsqlStore } from "../../src/journal/sqlite/libsql-store.js";
import type { JournalStore } from "../../src/journal/store.js";
import { all, newFolder } from "../journal/support.js";

const STORES: readonly [name: string, make: () => JournalStore][] = [
  ["memory", () => new MemoryStore()],
  ["libsql", () => new LibsqlStore(join(newFolder(), "store.db"))],
];

describe.each(STORES)("a %s store", (_, make) => {
  test("gives back what was set, and undefined for what was not", async () => {
    const store = make();
    expect(await store.set("a", "one")).toBe(true);
    await store.set("a", "two ☾ 🔭");
    expect(await store.get("a")).toBe("two ☾ 🔭");
    expect(await store.get("b")).toBeUndefined();
    expect([await store.has("a"), await store.has("b")]).toEqual([true, false]);
  });

  test("sets many rows and gives them back in the order they are asked for", async () => {
    const store = make();
    const rows = ["a", "b", "c"].map((key) => ({ key, value: key.toUpperCase() }));
    expect(await store.setMany(rows)).toEqual([true, true, true]);
    expect(await store.getMany(["c", "x", "a"])).toEqual(["C", undefined, "A"]);
  });

  test("lists keys of a range in order, the end not included", async () => {
    const store = make();
    for (const key of ["b:2", "a:9", "b:1", "c:0", "b:10"]) await store.set(key, "x");
    expect(store.keys("b:", "c")).toEqual(["b:1", "b:10", "b:2"]);
  });

  test("deletes and clears", async () => {
    const store = make();
    await store.setMany([
      { key: "a", value: "1" },
      { key: "b", value: "2" },
    ]);
    expect([await store.delete("a"), await store.delete("a")]).toEqual([true, false]);
    await store.setMany(["c", "d", "e"].map((key) => ({ key, value: key })));
    await store.deleteMany(["c", "e"]);
    expect(store.keys("", "~")).toEqual(["b", "d"]);
    await store.clear();
    expect(await store.get("b")).toBeUndefined();
  });

  test("serves an ordinary keyv, iterator included", async () => {
    const keyv = new Keyv<object>({
      store: make() as unknown as KeyvStoreAdapter,
      namespace: "n",
      throwOnErrors: true,
    });
    await keyv.set("a", { magnitude: 5.8 });
    await keyv.setMany([{ key: "b", value: { magnitude: 6.2 } }]);
    expect(await keyv.get("a")).toEqual({ magnitude: 5.8 });
    expect(await keyv.getMany(["b", "z"])).toEqual([{ magnitude: 6.2 }, undefined]);
    const iterate = keyv.iterator as () => AsyncGenerator<[string, object]>;
    expect(await all(iterate())).toEqual([
      ["a", { magnitude: 5.8 }],
      ["b", { magnitude: 6.2 }],
    ]);
  });

  test("says that its structure is sound", () => {
    expect(make().structureFault()).toBeNull();
  });
});

describe("a libsql store", () => {
  test("stores all rows of a batch or none", async () => {
    const store = new LibsqlStore(join(newFolder(), "store.db"));
    await store.set("before", "1");
    const rows = [
      { key: "a", value: "1" },
      { key: "b", value: null as unknown as string },
    ];
    await expect(store.setMany(rows)).rejects.toThrow(/NOT NULL/);
    expect(store.keys("", "~")).toEqual(["before"]);
    expect(await store.set("after", "2")).toBe(true);
  });

  test("syncs every commit to a write-ahead log", () => {
    const { database } = new LibsqlStore(join(newFolder(), "store.db"));
    const pragma = (name: string): unknown => database.prepare(`PRAGMA ${name}`).raw().get();
    expect([pragma("journal_mode"), pragma("synchronous")]).toEqual([["wal"], [2]]);
  });

  test("reads a text that is not UTF-8 without ending the process", async () => {
    const store = new LibsqlStore(join(newFolder(), "store.db"));
    store.database.exec("INSERT INTO keyv VALUES ('bad', CAST(x'41ff42' AS TEXT))");
    expect(await store.get("bad")).toBe("A\ufffdB");
  });
});
