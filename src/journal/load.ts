/** Reads the journal at start: the newest sound snapshot, and the entries after it. */
import type { Draft } from "./draft.js";
import { applyEntry } from "./fold.js";
import type { Journal } from "./journal.js";
import { entryIdOf } from "./keys.js";
import { newestSnapshot } from "./snapshot-rows.js";

/** Entries before the snapshot whose checksums are looked at too; bounds the time of a start. */
const CHECKED_BEFORE_SNAPSHOT = 2_000;

export interface Loaded {
  readonly draft: Draft;
  /** The last entry that the snapshot holds; 0 when there was none. */
  readonly snapshotId: number;
  /** Events that could not follow in the state they met: only damage leaves such behind. */
  readonly passedOver: number;
}

/**
 * The state that the journal adds up to; null when anything in it is damaged or missing.
 * @param acknowledgedId the last id known to have been stored; the journal must reach it
 * @throws what the store throws, unless that means damage
 */
export async function loadState(journal: Journal, acknowledgedId: number): Promise<Loaded | null> {
  try {
    return (await journal.store.structureFault()) === null ? await load(journal, acknowledgedId) : null;
  } catch (error) {
    if (journal.explain.fault(error).kind === "damaged") return null;
    throw error;
  }
}

async function load(journal: Journal, acknowledgedId: number): Promise<Loaded | null> {
  const draft = await newestSnapshot(journal);
  if (!draft) return null;
  const snapshotId = draft.lastEntryId;
  const firstId = Math.max(1, snapshotId - CHECKED_BEFORE_SNAPSHOT);
  const ids = (await journal.entryKeys(firstId)).map(entryIdOf);
  const lastId = firstId + ids.length - 1;
  const gapless = ids.every((id, index) => id === firstId + index);
  if (!gapless || lastId < Math.max(acknowledgedId, snapshotId)) return null;
  if ((await journal.unsound(firstId, snapshotId)).length > 0) return null;
  let passedOver = 0;
  for await (const { entry } of journal.entries(snapshotId + 1, lastId)) {
    if (!entry) return null;
    passedOver += applyEntry(draft, entry);
  }
  return { draft, snapshotId, passedOver };
}
