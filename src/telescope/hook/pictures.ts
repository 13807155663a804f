/** Frames as the control program hands them over: sent along, or lying in a folder that both know. */
import { stat } from "node:fs/promises";
import { Refusal } from "../../base/refusal.js";
import { fileInside } from "../../journal/data-folder.js";
import type { FrameRecord } from "../../journal/events.js";
import type { FitsSource } from "../frames/byte-reader.js";
import { isUnreadable } from "../frames/fits-headers.js";
import type { FrameOrder } from "../frames/frame-order.js";
import type { FrameStore } from "../frames/frame-store.js";

export interface Pictures {
  readonly store: Pick<FrameStore<FitsSource>, "keep">;
  /** The configuration's `telescope.hook.framesFolder`; null when it names none. */
  readonly folder: string | null;
}

/** What the disk says when it takes nothing: no other frame would fare better. */
const DISK = /\b(ENOSPC|EDQUOT|EROFS|EIO)\b/;

/** Whether a frame was not kept for want of a disk, rather than for what it is. */
export function isDiskTrouble({ message }: Error): boolean {
  return DISK.test(message);
}

/**
 * Keeps one frame; without a picture only that it was taken.
 * @param sent the FITS file that was sent along, or null
 * @param file its name inside the folder, or undefined
 * @throws {Refusal} code "no-frame" when it cannot be used
 * @throws {Error} when the disk takes nothing
 */
export async function keepPicture(
  { store, folder }: Pictures,
  order: FrameOrder,
  sent: Uint8Array | null,
  file: string | undefined,
): Promise<FrameRecord> {
  if (sent === null && file === undefined) return withoutPicture(order);
  const source = sent ? { bytes: sent } : { path: await pathOf(folder, file as string) };
  try {
    return await store.keep(order, source);
  } catch (error) {
    if (isDiskTrouble(error as Error)) throw error;
    const { message } = error as Error;
    // What the reader of FITS files says is for people; anything else is for the log.
    const said = isUnreadable(error as Error) ? message : "This frame cannot be read as a FITS file.";
    throw new Refusal("no-frame", `${said} Send it again, or say failed.`, { cause: error });
  }
}

function withoutPicture({ request, index, startUnixMs }: FrameOrder): FrameRecord {
  const { exposureSeconds, filter } = request;
  const nothing = { imageFile: null, previewFile: null, verdict: null, simulated: false };
  return { index, startUnixMs, exposureSeconds, filter, ...nothing };
}

async function pathOf(folder: string | null, file: string): Promise<string> {
  if (folder === null)
    throw new Refusal(
      "no-frame",
      "There is no folder for frames: set telescope.hook.framesFolder, or send the frame along.",
    );
  const path = await fileInside(folder, file);
  const isFile =
    path !== null &&
    (await stat(path).then(
      (found) => found.isFile(),
      () => false,
    ));
  if (isFile) return path;
  throw new Refusal("no-frame", `There is no file ${file} in telescope.hook.framesFolder.`);
}
