/** What a store's failure means to the person who asked, in one sentence. */
import { Refusal } from "../base/refusal.js";

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

/** The refusal for a write that failed: nothing has happened. */
export function notStored(cause: unknown): Refusal {
  const sentence = `Nothing was stored and nothing has changed: ${causeOf(cause)}, then try again.`;
  return new Refusal("not-stored", sentence, { cause });
}

/** What the store's own error means and what to do, as clauses: "the disk is full; free some space". */
export function causeOf(error: unknown): string {
  const code = String((error as { code?: unknown } | null | undefined)?.code ?? "");
  return CAUSES.find(([start]) => code.startsWith(start))?.[1] ?? "the journal could not be written";
}

/** Whether the file itself is at fault, rather than the disk or another program. */
export function meansDamage(error: unknown): boolean {
  const code = String((error as { code?: unknown } | null)?.code ?? "");
  return code.startsWith("SQLITE_CORRUPT");
}
