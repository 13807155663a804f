/** The journal's files in the data folder. */
import { existsSync } from "node:fs";
import { join } from "node:path";

export interface JournalFiles {
  readonly folder: string;
  readonly database: string;
  /** SQLite's write-ahead log. */
  readonly log: string;
  /** The log as it was found, until the journal has been seen to be whole. */
  readonly keptLog: string;
  readonly mark: string;
  /** A name for a damaged database that no file has yet. */
  nextAside(): string;
}

export function journalFiles(folder: string): JournalFiles {
  const database = join(folder, "journal.db");
  const aside = (count: number): string => join(folder, `journal.damaged-${count}.db`);
  return {
    folder,
    database,
    log: `${database}-wal`,
    keptLog: `${database}-wal.kept`,
    mark: join(folder, "journal.mark"),
    nextAside: () => {
      let count = 1;
      while (existsSync(aside(count))) count++;
      return aside(count);
    },
  };
}
