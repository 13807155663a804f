/** Snapshots as rows of the journal: parts first, the head last, so that a head promises whole parts. */
import type { Draft } from "./draft.js";
import { emptyState } from "./draft.js";
import type { Journal } from "./journal.js";
import { SNAPSHOT_RANGE, snapshotIdOf, snapshotIdOfPart, snapshotKey, snapshotPartKey } from "./keys.js";
import { seal, unseal } from "./seal.js";
import { partsOf, readHead, readPart, writeHead, writeParts } from "./snapshot.js";
import type { Row } from "./store.js";

/** Characters written in one transaction. */
const WRITTEN_TOGETHER = 1_000_000;

/**
 * Stores the state under the id of its last entry and lets go of all but the newest `kept` snapshots.
 * @throws {Refusal} as `Journal.write`
 */
export async function saveSnapshot(journal: Journal, draft: Draft, kept: number): Promise<void> {
  const id = draft.lastEntryId;
  let parts = 0;
  let rows: Row[] = [];
  let characters = 0;
  for (const text of writeParts(draft)) {
    rows.push({ key: snapshotPartKey(id, parts++), value: seal(text) });
    characters += text.length;
    if (characters < WRITTEN_TOGETHER) continue;
    await journal.write(rows);
    rows = [];
    characters = 0;
  }
  await journal.write([...rows, { key: snapshotKey(id), value: seal(writeHead(draft, parts)) }]);
  const keep = new Set((await snapshotIds(journal)).slice(0, kept));
  const old = (await journal.keys(SNAPSHOT_RANGE)).filter((key) => !keep.has(idOf(key) ?? 0));
  await journal.remove(old);
}

/** The newest state that this version's fold wrote, or the empty state; null when a snapshot is damaged. */
export async function newestSnapshot(journal: Journal): Promise<Draft | null> {
  for (const id of await snapshotIds(journal)) {
    const text = await journal.text(snapshotKey(id));
    if (text === null) return null;
    const head = readHead(text);
    if (!head) continue;
    for (let part = 0; part < head.parts; part++) {
      const json = await journal.text(snapshotPartKey(id, part));
      if (json === null) return null;
      readPart(head.draft, json);
    }
    return head.draft;
  }
  return emptyState();
}

/** Of the rows found in a damaged journal, those of snapshots that are whole. */
export function wholeSnapshots(rows: readonly Row[]): Row[] {
  const byKey = new Map(rows.filter(({ value }) => unseal(value) !== null).map((row) => [row.key, row]));
  return [...byKey.values()].flatMap((head) => {
    const id = snapshotIdOf(head.key);
    if (id === null) return [];
    const count = partsOf(unseal(head.value) as string);
    const parts = Array.from({ length: count }, (_, part) => byKey.get(snapshotPartKey(id, part)));
    return parts.every((part) => part !== undefined) ? [...parts, head] : [];
  });
}

/** Ids of the stored snapshots, newest first. */
async function snapshotIds(journal: Journal): Promise<number[]> {
  return (await journal.keys(SNAPSHOT_RANGE))
    .map(snapshotIdOf)
    .filter((id) => id !== null)
    .reverse();
}

const idOf = (key: string): number | null => snapshotIdOf(key) ?? snapshotIdOfPart(key);
