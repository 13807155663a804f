/** Frames from the data folder: chosen by request and frame number, never by a path that somebody sent. */
import { stat } from "node:fs/promises";
import { basename } from "node:path";
import type { Asker } from "../../../commands/command.js";
import { fileInside } from "../../../journal/data-folder.js";
import type { State } from "../../../journal/state.js";

export interface FrameFile {
  readonly path: string;
  readonly bytes: number;
  readonly fileName: string;
}

/**
 * The file of a frame that the reader's class may see; null when there is none, or when the recorded name
 * leads out of the data folder.
 */
export async function frameFile(
  state: State,
  reader: Asker,
  dataFolder: string,
  wanted: { readonly number: number; readonly index: number; readonly kind: "preview" | "full" },
): Promise<FrameFile | null> {
  const request = state.requests.get(wanted.number);
  const frame = state.frames.get(wanted.number)?.find((each) => each.index === wanted.index);
  const name = wanted.kind === "preview" ? frame?.previewFile : frame?.imageFile;
  if (!request || request.classId !== reader.classId || !name) return null;
  const path = await fileInside(dataFolder, name);
  const found = path === null ? undefined : await stat(path).catch(() => undefined);
  return path !== null && found?.isFile() ? { path, bytes: found.size, fileName: basename(path) } : null;
}
