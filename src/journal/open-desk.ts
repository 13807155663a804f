/** Opens the desk on its store: lock, journal, damage set aside, state. */
import type { Clock } from "../base/clock.js";
import { type Log, silentLog } from "../base/log.js";
import { Refusal } from "../base/refusal.js";
import type { DeriveNotices, Desk } from "./desk.js";
import { type Draft, emptyState } from "./draft.js";
import { Journal } from "./journal.js";
import { JournalDesk } from "./journal-desk.js";
import { type Loaded, loadState } from "./load.js";
import { MemoryMedium, openMemory } from "./memory/memory-store.js";
import { openStore, type StoreConfig } from "./open-store.js";
import { rescueReport } from "./rescue-report.js";
import { standBy } from "./standby.js";
import type { Mended, OpenedStore } from "./store.js";

export interface OpenOptions {
  readonly store: StoreConfig;
  readonly clock: Clock;
  readonly derive: DeriveNotices;
  readonly log: Log;
  /** Called when the journal begins to refuse, with the cause in one clause, and with null once it accepts again. */
  readonly trouble?: (clause: string | null) => void;
  /** Called once when another has become the writer: from then on every act is refused. */
  readonly deposed?: (sentence: string) => void;
  /** Waits for its turn while another is the writer, instead of being refused; called once, with who that is. */
  readonly standby?: (who: string) => void;
}

export interface OpenedDesk extends Desk {
  /** One sentence for each damage that was found and set aside; empty for a sound journal. Logged as well. */
  readonly reports: readonly string[];
}

/**
 * Opens the journal in a store, or begins one, and is its one writer until the desk is closed or the process ends.
 * @throws {Refusal} code "in-use" (another process has it), "journal-unreadable" (no journal, or nothing sound in
 *   it; nothing has been changed), or another that says why the store cannot be opened
 */
export async function openDesk({ store, log, standby, ...rest }: OpenOptions): Promise<OpenedDesk> {
  const opened = await openStore(store);
  const { lock, rescue, explain } = opened;
  let desk: JournalDesk | null = null;
  const take = (): Promise<void> => lock.take((clause) => desk?.depose(clause));
  try {
    const followed = standby ? await standBy(opened, { take, waiting: standby }) : null;
    if (!followed) await take();
    const { journal, loaded, mended } = followed ? { ...followed, mended: null } : await openJournal(opened);
    keepNumbers(loaded.draft, rescue.reached().number, mended);
    const reports = mended ? [rescueReport(mended, loaded)] : [];
    for (const report of reports) log.error({}, report);
    rescue.raise(loaded.draft.lastEntryId, loaded.draft.nextNumber - 1);
    desk = new JournalDesk(journal, loaded.draft, loaded.snapshotId, {
      ...rest,
      log,
      stored: (id, number) => rescue.raise(id, number),
      retake: async () => {
        await opened.store.connect();
        await take();
      },
      closed: () => lock.release(),
    });
    await desk.resumeForgetting();
    return Object.assign(desk, { reports });
  } catch (error) {
    await opened.store.disconnect().catch(() => {});
    await lock.release();
    throw error instanceof Refusal ? error : explain.unopened(error);
  }
}

/** A desk that forgets at exit: the same code over a store in memory. */
export function openMemoryDesk(options: Omit<OpenOptions, "store" | "log"> & { readonly log?: Log }): Desk {
  const journal = new Journal(openMemory(new MemoryMedium()));
  return new JournalDesk(journal, emptyState(), 0, { log: silentLog, ...options });
}

interface Found {
  readonly journal: Journal;
  readonly loaded: Loaded;
}

/**
 * A request number that someone has been told is never given again, though its entry is lost. Where nothing says how
 * far the numbers went, each lost entry may have given one.
 */
function keepNumbers(draft: Draft, reachedNumber: number | null, mended: Mended | null): void {
  const folded = draft.nextNumber - 1;
  const given = reachedNumber ?? folded + (mended?.lostIds.length ?? 0);
  draft.nextNumber = Math.max(folded, given) + 1;
}

/** `mended`: what was done about damage; null for a sound journal. */
async function openJournal(opened: OpenedStore): Promise<Found & { readonly mended: Mended | null }> {
  const first = await tryToOpen(opened);
  if (first) {
    opened.rescue.sound();
    return { ...first, mended: null };
  }
  const mended = await opened.rescue.mend();
  const second = await tryToOpen(opened);
  if (!second) throw opened.explain.unopened(null);
  return { ...second, mended };
}

/** null when the journal is damaged; its store is not connected then. */
async function tryToOpen(opened: OpenedStore): Promise<Found | null> {
  const { store, explain, rescue } = opened;
  const journal = new Journal(opened);
  try {
    await store.connect();
  } catch (error) {
    if (explain.fault(error).kind === "damaged") return null;
    throw error;
  }
  const loaded = await loadState(journal, rescue.reached().id);
  if (loaded) return { journal, loaded };
  await store.disconnect();
  return null;
}
