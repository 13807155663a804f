/** A journal's store as keyv wants one: single rows are batches of one. */
import type { KeyvStoreAdapter } from "keyv";
import type { JournalStore, Row } from "./store.js";

export function keyvAdapter(store: JournalStore): KeyvStoreAdapter {
  const adapter = {
    opts: {},
    // Failures are thrown, so there is no event to hear.
    on: () => adapter,
    get: async (key: string) => (await store.getMany([key]))[0],
    getMany: (keys: string[]) => store.getMany(keys),
    set: async (key: string, value: string) => (await store.setMany([{ key, value }]))[0],
    setMany: (rows: Row[]) => store.setMany(rows),
    delete: async (key: string) => (await adapter.get(key)) !== undefined && store.deleteMany([key]),
    deleteMany: (keys: string[]) => store.deleteMany(keys),
    clear: async () => {
      await store.deleteMany(await store.keys("", "\u{10ffff}"));
    },
    disconnect: () => store.disconnect(),
  };
  // keyv hands on what setMany answers, though it declares no answer.
  return adapter as unknown as KeyvStoreAdapter;
}
