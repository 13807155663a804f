/** Tells of each FITS file in a folder, once it is whole. */
import { stat } from "node:fs/promises";
import { basename } from "node:path";
import { type FSWatcher, watch } from "chokidar";
import type { CallOff, Clock } from "../../base/clock.js";
import type { Millis } from "../../base/units.js";

export interface FolderWatchParts {
  readonly path: string;
  /** A file that has not changed for so long is whole. */
  readonly wholeMs: Millis;
  readonly clock: Clock;
  readonly onWhole: (path: string) => void;
  readonly onTrouble: (error: Error) => void;
}

/** What tells whether a file is still written to. */
interface Look {
  readonly size: number;
  readonly mtimeMs: number;
  readonly ctimeMs: number;
}

const FITS_NAME = /^[^.].*\.(fits?|fts)(\.gz)?$/i;
/** A folder a day, and one for each target in it. */
const DEEPEST = 4;

/** @returns ends the watch */
export function watchFolder({
  path,
  wholeMs,
  clock,
  onWhole,
  onTrouble,
}: FolderWatchParts): () => Promise<void> {
  const waiting = new Map<string, CallOff>();
  let closed = false;
  const lookAt = async (file: string, before: Look | null): Promise<void> => {
    waiting.get(file)?.();
    const now = await stat(file).catch(() => null);
    if (closed || now === null || now.size === 0) return;
    if (isPutInPlace(now) || (before && isSame(before, now))) {
      waiting.delete(file);
      onWhole(file);
    } else
      waiting.set(
        file,
        clock.at(clock.now() + wholeMs, () => void lookAt(file, now)),
      );
  };
  const onFile = (file: string): void => {
    if (FITS_NAME.test(basename(file))) void lookAt(file, null);
  };
  const watcher: FSWatcher = watch(path, {
    depth: DEEPEST,
    followSymlinks: false,
    ignorePermissionErrors: true,
  });
  watcher.on("add", onFile).on("change", onFile);
  watcher.on("error", (error) => onTrouble(error as Error));
  return async () => {
    closed = true;
    for (const callOff of waiting.values()) callOff();
    await watcher.close();
  };
}

/** Renamed, or given its times, after the last byte was written: those who do that have finished with it. */
function isPutInPlace({ ctimeMs, mtimeMs }: Look): boolean {
  return ctimeMs > mtimeMs;
}

function isSame(one: Look, other: Look): boolean {
  return one.size === other.size && one.mtimeMs === other.mtimeMs;
}
