/**
 * After damage: the damaged file is kept whole under another name, and a new one is made of all that is sound.
 * The place of a lost entry is taken by an empty one, so that no id is given twice.
 */
import { copyFileSync, existsSync, renameSync, rmSync } from "node:fs";
import { Refusal } from "../../base/refusal.js";
import type { Entry } from "../events.js";
import { entryKey, FORGET_RANGE, SNAPSHOT_RANGE, snapshotIdOf } from "../keys.js";
import { seal, unseal } from "../seal.js";
import { wholeSnapshots } from "../snapshot-rows.js";
import type { Mended, Row } from "../store.js";
import type { JournalFiles } from "./files.js";
import { LibsqlStore } from "./libsql-store.js";
import { salvageRows } from "./salvage.js";

/** Rows written in one transaction. */
const PAGE_ROWS = 500;
/** More lost entries than this are not a damage but another file. */
const MOST_LOST = 1_000_000;

interface Sound {
  readonly entries: ReadonlyMap<number, Entry>;
  /** Snapshots and unfinished removals of personal data. */
  readonly others: readonly Row[];
  readonly lastId: number;
}

/**
 * Puts a sound journal in the place of a damaged one that nobody has open.
 * @param acknowledgedId the last id known to have been stored
 * @throws {Refusal} code "journal-unreadable" when there is nothing sound, or no room; all files are then as they were
 */
export async function rescueJournal(files: JournalFiles, acknowledgedId: number): Promise<Mended> {
  const sound = sortOut(salvageRows(files.database), acknowledgedId);
  if (sound.entries.size === 0 && sound.others.length === 0) throw nothingReadable(files);
  const lostIds = missingIds(sound);
  const asideFile = files.nextAside();
  const fresh = `${files.database}.new`;
  try {
    remove(fresh);
    await writeFresh(fresh, sound, lostIds);
    copyFileSync(files.database, asideFile);
  } catch (error) {
    remove(fresh);
    rmSync(asideFile, { force: true });
    const sentence = `${files.database} is damaged and could not be set aside: free some disk space and start again; nothing in it has been changed.`;
    throw new Refusal("journal-unreadable", sentence, { cause: error });
  }
  if (existsSync(files.keptLog)) renameSync(files.keptLog, `${asideFile}-wal`);
  removeLogs(files.database);
  renameSync(fresh, files.database);
  removeLogs(fresh);
  return { what: files.database, keptAs: asideFile, soundEntries: sound.entries.size, lostIds };
}

/** The refusal for a file in which nothing of a journal is left. */
export function nothingReadable(files: JournalFiles, cause?: unknown): Refusal {
  return new Refusal(
    "journal-unreadable",
    `${files.database} is not a readable journal, and nothing in it has been changed: put a backup of it back, or move all files named journal.* out of ${files.folder} to begin an empty one.`,
    { cause },
  );
}

function remove(database: string): void {
  rmSync(database, { force: true });
  removeLogs(database);
}

/** The files that SQLite keeps beside a database; empty once its last connection is closed. */
function removeLogs(database: string): void {
  for (const suffix of ["-wal", "-shm"]) rmSync(database + suffix, { force: true });
}

function sortOut(rows: readonly Row[], acknowledgedId: number): Sound {
  const entries = new Map<number, Entry>();
  const snapshots = wholeSnapshots(rows.filter(({ key }) => within(SNAPSHOT_RANGE, key)));
  const others: Row[] = [...snapshots];
  let lastId = Math.max(acknowledgedId, ...snapshots.map(({ key }) => snapshotIdOf(key) ?? 0));
  for (const row of rows) {
    const text = unseal(row.value);
    if (text === null) continue;
    if (within(SNAPSHOT_RANGE, row.key)) continue;
    if (within(FORGET_RANGE, row.key)) {
      others.push(row);
      continue;
    }
    const entry = JSON.parse(text) as Entry;
    if (!Number.isSafeInteger(entry.id) || !Array.isArray(entry.events)) continue;
    entries.set(entry.id, entry);
    lastId = Math.max(lastId, entry.id);
  }
  return { entries, others, lastId };
}

function within([from, before]: readonly [string, string], key: string): boolean {
  return key >= from && key < before;
}

function missingIds({ entries, lastId }: Sound): number[] {
  if (lastId - entries.size > MOST_LOST) {
    throw new Refusal(
      "journal-unreadable",
      `Of ${lastId} journal entries only ${entries.size} can be read: put a backup back.`,
    );
  }
  const missing: number[] = [];
  for (let id = 1; id <= lastId; id++) if (!entries.has(id)) missing.push(id);
  return missing;
}

async function writeFresh(path: string, sound: Sound, lostIds: readonly number[]): Promise<void> {
  const store = new LibsqlStore(path);
  await store.connect();
  try {
    const rows = [...inPlaceOrder(sound, lostIds), ...sound.others];
    for (let start = 0; start < rows.length; start += PAGE_ROWS) {
      await store.setMany(rows.slice(start, start + PAGE_ROWS));
    }
    await store.settle();
  } finally {
    await store.disconnect();
  }
}

/** All ids in order, empty entries for the lost ones, each at the time of the one before it. */
function* inPlaceOrder({ entries, lastId }: Sound, lostIds: readonly number[]): Generator<Row> {
  const lost = new Set(lostIds);
  let atUnixMs = 0;
  for (let id = 1; id <= lastId; id++) {
    const empty: Entry = { id, atUnixMs, by: "rescue", onceKey: null, events: [], notices: [] };
    const entry = lost.has(id) ? empty : (entries.get(id) as Entry);
    atUnixMs = entry.atUnixMs;
    yield { key: entryKey(id), value: seal(JSON.stringify(entry)) };
  }
}
