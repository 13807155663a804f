/** What the errors of SQLite and of the file system mean to the person who asked. */
import { unusable } from "../data-folder.js";
import type { Explain } from "../store.js";
import type { JournalFiles } from "./files.js";
import { nothingReadable } from "./rescue.js";

/** SQLite's result codes (https://www.sqlite.org/rescode.html) and Node's, by how they begin. */
const CAUSES: readonly (readonly [code: string, clause: string])[] = [
  ["SQLITE_FULL", "the disk is full; free some space"],
  ["ENOSPC", "the disk is full; free some space"],
  ["SQLITE_READONLY", "the journal's file may not be written to; see to its permissions"],
  ["SQLITE_BUSY", "another program is using the journal's file; close that program"],
  ["SQLITE_LOCKED", "another program is using the journal's file; close that program"],
  ["SQLITE_CORRUPT", "the journal's file is damaged; restart Nightslate, which sets the damage aside"],
  ["SQLITE_NOTADB", "the journal's file is damaged; restart Nightslate, which sets the damage aside"],
  ["SQLITE_IOERR", "the disk reports a fault; ask whoever looks after this computer to see to it"],
];

/** What SQLite says of a file that is none of its own, or whose first bytes say that a later version wrote it. */
const NO_JOURNAL: ReadonlySet<string> = new Set(["SQLITE_NOTADB", "SQLITE_ERROR"]);

export function explainSqlite(files: JournalFiles): Explain {
  return {
    // A commit that fails is rolled back before anyone hears of it, so nothing is ever unsure.
    fault: (error) => ({
      kind: meansDamage(error) ? "damaged" : "refused",
      clause:
        CAUSES.find(([start]) => codeOf(error).startsWith(start))?.[1] ?? "the journal could not be written",
    }),
    unopened: (error) =>
      error === null || NO_JOURNAL.has(codeOf(error))
        ? nothingReadable(files, error ?? undefined)
        : unusable(files.folder, error as Error),
  };
}

/** Whether the file itself is at fault, rather than the disk or another program. */
export function meansDamage(error: unknown): boolean {
  return codeOf(error).startsWith("SQLITE_CORRUPT");
}

function codeOf(error: unknown): string {
  return String((error as { code?: unknown } | null | undefined)?.code ?? "");
}
