/** The data folder: made when it is missing, and seen to take files, before anything else is opened in it. */
import { closeSync, existsSync, mkdirSync, openSync, rmSync, statSync } from "node:fs";
import { realpath, statfs } from "node:fs/promises";
import { dirname, join, resolve, sep } from "node:path";
import { Refusal } from "../base/refusal.js";

/** Node's error codes in a few words. */
const REASONS: Readonly<Record<string, string>> = {
  ENOTDIR: "there is a file where a folder should be",
  EACCES: "it may not be written to",
  EPERM: "it may not be written to",
  EROFS: "it may not be written to",
  ENOENT: "no folder can be made there",
  ENOSPC: "the disk is full",
  ENAMETOOLONG: "the name is too long",
};

/** A full disk takes no new file, but an existing journal can still be read and asked. */
const NO_ROOM: ReadonlySet<string> = new Set(["ENOSPC", "EDQUOT"]);

/**
 * Makes the folder where it is missing and tries whether files can be made in it.
 * @throws {Refusal} code "folder-unusable"
 */
export function prepareFolder(folder: string): void {
  try {
    makeFolder(resolve(folder));
    tryFile(join(folder, `journal.try-${process.pid}`));
  } catch (error) {
    throw unusable(folder, error as Error);
  }
}

/** The refusal for a folder in which something failed that is no refusal of its own. */
export function unusable(folder: string, cause: Error): Refusal {
  const reason = REASONS[String((cause as NodeJS.ErrnoException).code)] ?? cause.message;
  return new Refusal(
    "folder-unusable",
    `${folder} cannot be used as data folder (${reason}): make it a folder with room that can be written to, or name another with --data FOLDER.`,
    { cause },
  );
}

/** Where a file of the folder really is; null when it is not there or its name leads out of the folder. */
export async function fileInside(folder: string, name: string): Promise<string | null> {
  try {
    const path = await realpath(join(folder, name));
    return path.startsWith((await realpath(folder)) + sep) ? path : null;
  } catch {
    return null;
  }
}

/** Room that any other file leaves to the journal, bytes: some thousands of its entries. */
const LEFT_FOR_JOURNAL = 2_000_000;

/**
 * Whether so many bytes more leave the journal room on the disk that a folder is on.
 * @throws {Error} code "ENOSPC" when they do not; what the system says
 */
export async function seeRoom(wanted: number, folder: string): Promise<void> {
  const { bavail, bsize, blocks } = await statfs(folder);
  // Some file systems do not say how large they are.
  if (blocks === 0 || bavail * bsize >= wanted + LEFT_FOR_JOURNAL) return;
  throw Object.assign(new Error(`ENOSPC: no room for ${wanted} bytes beside the journal`), {
    code: "ENOSPC",
  });
}

/** One level after the other: Node's recursive way tries for ever where the system makes no folders, as in /proc. */
function makeFolder(path: string): void {
  if (existsSync(path)) {
    if (!statSync(path).isDirectory()) throw Object.assign(new Error("not a folder"), { code: "ENOTDIR" });
    return;
  }
  const parent = dirname(path);
  if (parent !== path) makeFolder(parent);
  mkdirSync(path);
}

function tryFile(path: string): void {
  try {
    closeSync(openSync(path, "w"));
    rmSync(path, { force: true });
  } catch (error) {
    if (!NO_ROOM.has(String((error as NodeJS.ErrnoException).code))) throw error;
  }
}
