/**
 * One writer per folder: an exclusive transaction on a small SQLite file of its own, held for the life of the
 * process. The operating system lets go of it when the process ends, however it ends. The folder has to be on
 * a local disk: SQLite's locks are unreliable on many network file systems (https://www.sqlite.org/faq.html#q5).
 */
import { join } from "node:path";
import Database from "libsql";
import { Refusal } from "../../base/refusal.js";
import { meansDamage } from "./explain.js";

/** Lets go of the lock. */
export type Unlock = () => void;

/**
 * Takes the folder's lock.
 * @throws {Refusal} code "in-use" when another process (or another desk of this one) has it; "lock-damaged" when
 *   its file holds something else
 */
export function lockFolder(folder: string): Unlock {
  const path = join(folder, "journal.lock");
  const database = new Database(path);
  try {
    // Nothing is ever written to this file, so it needs no rollback journal, nor room on a full disk.
    database.exec("PRAGMA journal_mode = OFF; BEGIN EXCLUSIVE");
  } catch (error) {
    database.close();
    const code = (error as { code?: string }).code;
    if (code === "SQLITE_NOTADB" || meansDamage(error)) throw damaged(path, folder, error);
    if (code !== "SQLITE_BUSY") throw error;
    throw new Refusal(
      "in-use",
      `Another Nightslate is already running on ${folder}: use that one, stop it first, or start this one with another data folder (--data FOLDER).`,
      { cause: error },
    );
  }
  return () => {
    database.exec("ROLLBACK");
    database.close();
  };
}

function damaged(path: string, folder: string, cause: unknown): Refusal {
  return new Refusal(
    "lock-damaged",
    `${path} is damaged: remove it while no Nightslate runs on ${folder}, and start again; it holds nothing of the journal.`,
    { cause },
  );
}
