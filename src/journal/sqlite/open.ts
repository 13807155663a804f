/** A data folder with the journal in an SQLite file: its lock, its mark, its rescue. */
import { copyFileSync, existsSync, rmSync, statSync } from "node:fs";
import { prepareFolder } from "../data-folder.js";
import type { OpenedStore } from "../store.js";
import { explainSqlite } from "./explain.js";
import { type JournalFiles, journalFiles } from "./files.js";
import { HighWaterMark } from "./high-water.js";
import { LibsqlStore } from "./libsql-store.js";
import { lockFolder } from "./lock.js";
import { rescueJournal } from "./rescue.js";

/** The journal in a folder, which is looked at first when the lock is taken. */
export function openSqlite(folder: string): OpenedStore {
  const files = journalFiles(folder);
  const explain = explainSqlite(files);
  let held: { readonly unlock: () => void; readonly mark: HighWaterMark } | null = null;
  const reached = () => ({ id: held?.mark.idAtOpen ?? 0, number: held?.mark.numberAtOpen ?? null });
  return {
    store: new LibsqlStore(files.database),
    explain,
    lock: {
      // The system itself holds this lock for as long as the process lives: it is never lost.
      take: async () => {
        held ??= takeFolder(files);
      },
      release: async () => {
        held?.mark.close();
        held?.unlock();
        held = null;
      },
    },
    rescue: {
      reached,
      raise: (id, number) => held?.mark.raise(id, number),
      mend: () => rescueJournal(files, reached().id),
      sound: () => rmSync(files.keptLog, { force: true }),
    },
  };
}

function takeFolder(files: JournalFiles): { unlock: () => void; mark: HighWaterMark } {
  prepareFolder(files.folder);
  const unlock = lockFolder(files.folder);
  try {
    keepLog(files);
    return { unlock, mark: HighWaterMark.open(files.mark) };
  } catch (error) {
    unlock();
    throw error;
  }
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
