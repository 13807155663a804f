/** Moves a whole journal from one store to another: every row is copied, then read back and compared. */
import { Refusal } from "../base/refusal.js";
import { ENTRY_RANGE } from "./keys.js";
import type { JournalStore, OpenedStore, Row } from "./store.js";

/** Rows in one write. */
const TOGETHER = 500;
const [FIRST, END] = ["", "\u{10ffff}"];

export interface Moved {
  /** Rows of every kind, and how many of them are entries. */
  readonly rows: number;
  readonly entries: number;
}

/**
 * Copies all rows of `from` into the empty store `to`, as the one writer of both, and compares them one by one. The
 * journal in `from` stays as it is.
 * @throws {Refusal} code "in-use" (someone runs on one of them), "nothing-to-move", "not-empty", or "differs"; else what
 *   the stores throw. A copy cut short can be finished only into a store that was emptied.
 */
export async function moveJournal(from: OpenedStore, to: OpenedStore): Promise<Moved> {
  try {
    await take(from);
    await take(to);
    const keys = await from.store.keys(FIRST, END);
    if (keys.length === 0)
      throw new Refusal("nothing-to-move", "There is no journal to move: the first store is empty.");
    if ((await to.store.keys(FIRST, END)).length > 0) {
      throw new Refusal(
        "not-empty",
        "There is a journal already where this one should go: name another place.",
      );
    }
    for (const part of parts(keys)) await to.store.setMany(await rowsOf(from.store, part));
    await to.store.settle();
    return await compared(from.store, to.store, keys);
  } finally {
    for (const { store, lock } of [to, from]) {
      await store.disconnect().catch(() => {});
      await lock.release();
    }
  }
}

async function take({ store, lock }: OpenedStore): Promise<void> {
  // A lock lost under way shows at the next write, which is refused.
  await lock.take(() => {});
  await store.connect();
}

async function compared(from: JournalStore, to: JournalStore, keys: readonly string[]): Promise<Moved> {
  const arrived = await to.keys(FIRST, END);
  if (arrived.length !== keys.length)
    throw differs(`${keys.length} rows were read and ${arrived.length} arrived`);
  for (const part of parts(keys)) {
    const [before, after] = [await rowsOf(from, part), await rowsOf(to, part)];
    const wrong = before.findIndex(
      ({ key, value }, index) => after[index]?.key !== key || after[index]?.value !== value,
    );
    if (wrong !== -1) throw differs(`row ${before[wrong]?.key} is not the same`);
  }
  const [firstEntry, endOfEntries] = ENTRY_RANGE;
  const entries = keys.filter((key) => key >= firstEntry && key < endOfEntries).length;
  return { rows: keys.length, entries };
}

async function rowsOf(store: JournalStore, keys: readonly string[]): Promise<Row[]> {
  const values = await store.getMany<string>(keys);
  return keys.map((key, index) => ({ key, value: values[index] as string }));
}

function* parts(keys: readonly string[]): Generator<readonly string[]> {
  for (let start = 0; start < keys.length; start += TOGETHER) yield keys.slice(start, start + TOGETHER);
}

function differs(how: string): Refusal {
  return new Refusal("differs", `The copy is not the same as the journal: ${how}. Go on with the old one.`);
}
