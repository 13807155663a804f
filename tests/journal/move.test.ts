/** A journal goes whole from one kind of store to another, and back. */
import { describe, expect, test } from "vitest";
import { silentLog } from "../../src/base/log.js";
import { MemoryMedium } from "../../src/journal/memory/memory-store.js";
import { moveJournal } from "../../src/journal/move.js";
import { openDesk } from "../../src/journal/open-desk.js";
import { openStore, type StoreConfig } from "../../src/journal/open-store.js";
import { ManualClock } from "../../src/tools/manual-clock.js";
import { hasPostgres, postgresServer } from "./postgres/server.js";
import { all, ask, contents, EVENING, newFolder, noNotices } from "./support.js";

const memory = (): StoreConfig => ({ kind: "memory", medium: new MemoryMedium() });
const folder = (): StoreConfig => ({ kind: "sqlite", folder: newFolder() });

async function desk(store: StoreConfig) {
  return openDesk({ store, clock: new ManualClock(EVENING), derive: noNotices, log: silentLog });
}

async function asked(store: StoreConfig, count: number): Promise<string> {
  const opened = await desk(store);
  await Promise.all(
    Array.from({ length: count }, (_, index) => ask(opened, "terminal:mira", {}, `press ☾ ${index}`)),
  );
  const state = contents(opened.state);
  await opened.close();
  return state;
}

async function moved(from: StoreConfig, to: StoreConfig) {
  return moveJournal(await openStore(from), await openStore(to));
}

describe("moving a journal", () => {
  const far = hasPostgres()
    ? async () => (await postgresServer())?.newPlace() as StoreConfig
    : async () => memory();

  test("copies every entry and snapshot there and back, and the desk goes on from them", async () => {
    const [near, away, home] = [folder(), await far(), folder()];
    const state = await asked(near, 1_203);
    expect(await moved(near, away)).toMatchObject({ entries: 1_203 });
    expect(await moved(away, home)).toMatchObject({ entries: 1_203 });
    const opened = await desk(home);
    expect(contents(opened.state)).toBe(state);
    expect((await ask(opened)).entry?.id).toBe(1_204);
    expect((await all(opened.entries())).length).toBe(1_204);
    await opened.close();
  });

  test("is refused when somebody runs on either, when there is none, and when there is one already", async () => {
    const [used, empty] = [folder(), folder()];
    await asked(used, 3);
    const running = await desk(used);
    await expect(moved(used, empty)).rejects.toMatchObject({ code: "in-use" });
    await running.close();
    await expect(moved(empty, folder())).rejects.toMatchObject({ code: "nothing-to-move" });
    const full = memory();
    await asked(full, 1);
    await expect(moved(used, full)).rejects.toMatchObject({ code: "not-empty" });
    expect(await moved(used, memory())).toMatchObject({ entries: 3 });
  });

  test("notices a row that arrives otherwise than it was", async () => {
    const from = folder();
    await asked(from, 2);
    const to = await openStore(memory());
    const { setMany } = to.store;
    to.store.setMany = (rows) =>
      setMany.call(
        to.store,
        rows.map((row, index) => (index === 1 ? { ...row, value: "x" } : row)),
      );
    await expect(moveJournal(await openStore(from), to)).rejects.toThrow(
      "The copy is not the same as the journal: row entry:000000000002 is not the same. Go on with the old one.",
    );
  });
});
