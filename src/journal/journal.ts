/** The journal's rows by what they mean: entries, snapshots, people being forgotten. Kept through keyv, each under its checksum. */
import Keyv from "keyv";
import { Refusal } from "../base/refusal.js";
import type { Entry } from "./events.js";
import { ENTRY_RANGE, entryKey, FORGET_RANGE, forgetKey, personOfForgetKey } from "./keys.js";
import { keyvAdapter } from "./keyv-adapter.js";
import { withPresentActions } from "./notice.js";
import { seal, unseal } from "./seal.js";
import type { Explain, JournalStore, OpenedStore, Row } from "./store.js";

/** Entries read at a time. */
const PAGE_ENTRIES = 500;

/** What stands under one id: the entry, or null where it is missing or damaged. */
export interface Found {
  readonly id: number;
  readonly entry: Entry | null;
}

/** A person's data is to be taken out of the entries before one. */
export interface Removal {
  readonly personId: string;
  readonly beforeId: number;
}

export class Journal {
  readonly store: JournalStore;
  readonly explain: Explain;
  private readonly keyv: Keyv<string>;

  constructor({ store, explain }: Pick<OpenedStore, "store" | "explain">) {
    this.store = store;
    this.explain = explain;
    this.keyv = new Keyv<string>({
      store: keyvAdapter(store),
      useKeyPrefix: false,
      // keyv otherwise resolves a write that failed.
      throwOnErrors: true,
      emitErrors: false,
      serialize: ({ value }) => value as string,
      deserialize: <Value>(text: string) => ({ value: text as Value, expires: undefined }),
    });
  }

  /**
   * Makes entries durable, all or none, with what they ask to be removed.
   * @throws {Refusal} as `write`
   */
  async append(entries: readonly Entry[], removals: readonly Removal[] = []): Promise<void> {
    await this.write([
      ...entries.map((entry) => ({ key: entryKey(entry.id), value: seal(JSON.stringify(entry)) })),
      ...removals.map(({ personId, beforeId }) => ({
        key: forgetKey(personId),
        value: seal(String(beforeId)),
      })),
    ]);
  }

  /** One entry; null when it is missing or damaged. */
  async entry(id: number): Promise<Entry | null> {
    return entryFrom(id, await this.keyv.get(entryKey(id)));
  }

  /** What stands under each id from `fromId` to `untilId`, both included, in order. */
  async *entries(fromId: number, untilId: number): AsyncGenerator<Found> {
    for (let first = fromId; first <= untilId; first += PAGE_ENTRIES) {
      const ids = idsBetween(first, Math.min(untilId, first + PAGE_ENTRIES - 1));
      const texts = await this.keyv.getMany<string>(ids.map(entryKey));
      for (const [index, id] of ids.entries()) yield { id, entry: entryFrom(id, texts[index]) };
    }
  }

  /** Ids under which no sound entry stands, from `fromId` to `untilId`: checksums only. */
  async unsound(fromId: number, untilId: number): Promise<number[]> {
    const unsound: number[] = [];
    for (let first = fromId; first <= untilId; first += PAGE_ENTRIES) {
      const ids = idsBetween(first, Math.min(untilId, first + PAGE_ENTRIES - 1));
      const texts = await this.keyv.getMany<string>(ids.map(entryKey));
      unsound.push(...ids.filter((_, index) => unseal(texts[index] ?? "") === null));
    }
    return unsound;
  }

  /** Keys in the entries' range from `fromId` on, in order: also such as are no entry's. */
  entryKeys(fromId: number): Promise<readonly string[]> {
    return this.keys([entryKey(fromId), ENTRY_RANGE[1]]);
  }

  /** Puts changed entries in the place of those stored, all or none. @throws {Refusal} as `write` */
  async rewrite(entries: readonly Entry[]): Promise<void> {
    if (entries.length > 0) await this.append(entries);
  }

  /** Removals that are not finished. */
  async removals(): Promise<Removal[]> {
    const removals: Removal[] = [];
    for (const key of await this.keys(FORGET_RANGE)) {
      const beforeId = Number((await this.text(key)) ?? 0);
      removals.push({ personId: personOfForgetKey(key), beforeId });
    }
    return removals;
  }

  /** A person's data is out of the stored entries; now replaced values go too. */
  async removalFinished(personId: string): Promise<void> {
    await this.keyv.delete(forgetKey(personId));
    await this.store.settle();
  }

  /** Stored keys from the first to the second, which is not included, in order. */
  keys([from, before]: readonly [string, string]): Promise<readonly string[]> {
    return this.store.keys(from, before);
  }

  /** What was sealed under a key; null when there is nothing or it is damaged. */
  async text(key: string): Promise<string | null> {
    return unseal((await this.keyv.get(key)) ?? "");
  }

  /**
   * Makes rows durable, all or none.
   * @throws {Refusal} code "not-stored"; "unsure" when only a look can tell; "deposed" when another is the writer now
   */
  async write(rows: Row[]): Promise<void> {
    let stored: unknown;
    try {
      stored = await this.keyv.setMany(rows);
    } catch (error) {
      const { kind, clause } = this.explain.fault(error);
      if (kind !== "unsure") throw this.notStored(error);
      const sentence = `Whether this was stored is not known yet: ${clause}. Look before you ask again.`;
      throw new Refusal("unsure", sentence, { cause: error });
    }
    if (!Array.isArray(stored) || stored.length !== rows.length || stored.includes(false))
      throw this.notStored(null);
  }

  /** The refusal for a write that failed: nothing has happened. */
  notStored(cause: unknown): Refusal {
    const { kind, clause } = this.explain.fault(cause);
    const [code, advice] =
      kind === "deposed" ? ["deposed", "use that one"] : ["not-stored", "then try again"];
    const sentence = `Nothing was stored and nothing has changed: ${clause}, ${advice}.`;
    return new Refusal(code as string, sentence, { cause });
  }

  /** Removes rows, all or none. */
  async remove(keys: readonly string[]): Promise<void> {
    if (keys.length > 0) await this.keyv.delete([...keys]);
  }

  async close(): Promise<void> {
    try {
      await this.store.settle();
    } catch {
      // No room to fold the log into the file: it stays beside it and is read at the next start.
    }
    await this.keyv.disconnect();
  }
}

/** The entry in a sealed text, if it is sound and stands under its own id. */
function entryFrom(id: number, sealed: string | undefined): Entry | null {
  const json = unseal(sealed ?? "");
  if (json === null) return null;
  const entry = JSON.parse(json) as Entry;
  return entry.id === id ? { ...entry, notices: entry.notices.map(withPresentActions) } : null;
}

function idsBetween(first: number, last: number): number[] {
  return Array.from({ length: last - first + 1 }, (_, index) => first + index);
}
