/** Opens the desk on a folder: lock, journal, damage set aside, state. */
import { copyFileSync, existsSync, rmSync, statSync } from "node:fs";
import type { Clock } from "../base/clock.js";
import { type Log, silentLog } from "../base/log.js";
import { Refusal } from "../base/refusal.js";
import { prepareFolder, unusable } from "./data-folder.js";
import type { DeriveNotices, Desk } from "./desk.js";
import { type Draft, emptyState } from "./draft.js";
import { Journal } from "./journal.js";
import { JournalDesk } from "./journal-desk.js";
import { type Loaded, loadState } from "./load.js";
import { MemoryStore } from "./memory/memory-store.js";
import { type JournalFiles, journalFiles } from "./sqlite/files.js";
import { HighWaterMark } from "./sqlite/high-water.js";
import { LibsqlStore } from "./sqlite/libsql-store.js";
import { lockFolder } from "./sqlite/lock.js";
import { nothingReadable, type Rescue, rescueJournal } from "./sqlite/rescue.js";
import { rescueReport } from "./sqlite/rescue-report.js";
import { meansDamage } from "./store-fault.js";

export interface OpenOptions {
  /** The data folder; made when it is missing. */
  readonly folder: string;
  readonly clock: Clock;
  readonly derive: DeriveNotices;
  readonly log: Log;
  /** Called when the journal begins to refuse, with the cause in one clause, and with null once it accepts again. */
  readonly trouble?: (clause: string | null) => void;
}

export interface OpenedDesk extends Desk {
  /** One sentence for each damage that was found and set aside; empty for a sound journal. Logged as well. */
  readonly reports: readonly string[];
}

/**
 * Opens the journal in a folder, or begins one, and holds the folder until the desk is closed or the process ends.
 * @throws {Refusal} code "in-use" (another process has it), "journal-unreadable" (no journal, or nothing sound in
 *   it; no file has been changed), "lock-damaged" or "folder-unusable"
 */
export async function openDesk(options: OpenOptions): Promise<OpenedDesk> {
  const { folder, clock, derive, log, trouble } = options;
  const letGo: (() => void)[] = [];
  const closed = (): void => {
    for (const each of letGo.splice(0).reverse()) each();
  };
  try {
    prepareFolder(folder);
    letGo.push(lockFolder(folder));
    const files = journalFiles(folder);
    const mark = HighWaterMark.open(files.mark);
    letGo.push(() => mark.close());
    const { journal, loaded, rescue } = await openJournal(files, mark.idAtOpen);
    keepNumbers(loaded.draft, mark.numberAtOpen, rescue);
    const reports = rescue ? [rescueReport(files, rescue, loaded)] : [];
    for (const report of reports) log.error({}, report);
    mark.raise(loaded.draft.lastEntryId, loaded.draft.nextNumber - 1);
    const stored = (id: number, number: number): void => mark.raise(id, number);
    const desk = new JournalDesk(journal, loaded.draft, loaded.snapshotId, {
      clock,
      derive,
      log,
      stored,
      closed,
      ...(trouble ? { trouble } : {}),
    });
    await desk.resumeForgetting();
    return Object.assign(desk, { reports });
  } catch (error) {
    closed();
    throw error instanceof Refusal ? error : unusable(folder, error as Error);
  }
}

/** A desk that forgets at exit: the same code over a store in memory. */
export function openMemoryDesk(options: Omit<OpenOptions, "folder" | "log"> & { readonly log?: Log }): Desk {
  const { clock, derive, log = silentLog } = options;
  return new JournalDesk(new Journal(new MemoryStore()), emptyState(), 0, { clock, derive, log });
}

interface Opened {
  readonly journal: Journal;
  readonly loaded: Loaded;
  /** What was done about damage; null for a sound journal. */
  readonly rescue: Rescue | null;
}

/**
 * A request number that someone has been told is never given again, though its entry is lost. Where no mark says how
 * far the numbers went, each lost entry may have given one.
 */
function keepNumbers(draft: Draft, markedNumber: number | null, rescue: Rescue | null): void {
  const folded = draft.nextNumber - 1;
  const given = markedNumber ?? folded + (rescue?.lostIds.length ?? 0);
  draft.nextNumber = Math.max(folded, given) + 1;
}

async function openJournal(files: JournalFiles, acknowledgedId: number): Promise<Opened> {
  keepLog(files);
  const first = await tryToOpen(files, acknowledgedId);
  if (first) {
    rmSync(files.keptLog, { force: true });
    return { ...first, rescue: null };
  }
  const rescue = await rescueJournal(files, acknowledgedId);
  const second = await tryToOpen(files, acknowledgedId);
  if (!second) throw nothingReadable(files);
  return { ...second, rescue };
}

/** SQLite cuts off the end of a damaged log when it opens the file, so a copy is kept until all is seen to be well. */
function keepLog({ log, keptLog }: JournalFiles): void {
  if (!existsSync(log) || statSync(log).size === 0 || existsSync(keptLog)) return;
  try {
    copyFileSync(log, keptLog);
  } catch {
    // No room for a copy: a full disk should not keep the class from its queue.
    rmSync(keptLog, { force: true });
  }
}

async function tryToOpen(
  files: JournalFiles,
  acknowledgedId: number,
): Promise<{ journal: Journal; loaded: Loaded } | null> {
  const store = openStore(files);
  if (!store) return null;
  const journal = new Journal(store);
  try {
    const loaded = await loadState(journal, acknowledgedId);
    if (loaded) return { journal, loaded };
  } catch (error) {
    store.database.close();
    throw error;
  }
  store.database.close();
  return null;
}

/** What SQLite says of a file that is none of its own, or whose first bytes say that a later version wrote it. */
const NO_JOURNAL: ReadonlySet<string> = new Set(["SQLITE_NOTADB", "SQLITE_ERROR"]);

/** null when the file is damaged. */
function openStore(files: JournalFiles): LibsqlStore | null {
  try {
    return new LibsqlStore(files.database);
  } catch (error) {
    if (meansDamage(error)) return null;
    throw NO_JOURNAL.has(String((error as { code?: string }).code)) ? nothingReadable(files, error) : error;
  }
}
