/** The files of frames on disk: written whole or not at all, and let go of when they are old. */
import { readdir, rename, rm, writeFile } from "node:fs/promises";
import { join } from "node:path";
import { seeRoom } from "../../journal/data-folder.js";

/** Bytes that are too many to be held at once. */
export interface Streamed {
  /** About how many there are. */
  readonly size: number;
  chunks(): AsyncIterable<Uint8Array>;
}

/** A file on its way to the disk. */
export interface WholeFile {
  readonly path: string;
  readonly bytes: Uint8Array | Streamed;
}

/** What a file is called until it is whole. */
const UNFINISHED = ".part";
/** The folder of a night is called by its date. */
const NIGHT_FOLDER = /^\d{4}-\d{2}-\d{2}$/;

/**
 * Writes all files or none; each under another name first, so that nobody reads half a file.
 * @param folder one on the same disk, to see whether there is room
 * @throws {Error} what the file system says, or ENOSPC where the journal would be left without room; nothing new is
 *   left on disk then
 */
export async function writeAll(files: readonly WholeFile[], folder: string): Promise<void> {
  try {
    await seeRoom(
      files.reduce((sum, { bytes }) => sum + sizeOf(bytes), 0),
      folder,
    );
    for (const { path, bytes } of files)
      await writeFile(path + UNFINISHED, bytes instanceof Uint8Array ? bytes : bytes.chunks());
  } catch (error) {
    for (const { path } of files) await rm(path + UNFINISHED, { force: true });
    throw error;
  }
  for (const { path } of files) await rename(path + UNFINISHED, path);
}

function sizeOf(bytes: WholeFile["bytes"]): number {
  return bytes instanceof Uint8Array ? bytes.length : bytes.size;
}

/** Removes what a process that was killed, or a full disk, left half-written. */
export async function removeUnfinished(framesFolder: string): Promise<void> {
  for (const night of await namesIn(framesFolder)) {
    const folder = join(framesFolder, night);
    for (const name of await namesIn(folder)) {
      if (name.endsWith(UNFINISHED)) await rm(join(folder, name), { force: true });
    }
  }
}

/** Removes the frames and previews of all nights before a date, "2026-11-25". */
export async function removeNightsBefore(framesFolder: string, date: string): Promise<void> {
  for (const night of await namesIn(framesFolder)) {
    if (NIGHT_FOLDER.test(night) && night < date) {
      await rm(join(framesFolder, night), { recursive: true, force: true });
    }
  }
}

/** Empty for what is no folder. */
async function namesIn(folder: string): Promise<string[]> {
  return readdir(folder).catch(() => []);
}
