/** The pictures of notices and of frames, read from the data folder and nowhere else. */
import { readFile } from "node:fs/promises";
import { basename } from "node:path";
import type { Reply } from "../../../commands/reply.js";
import { fileInside } from "../../../journal/data-folder.js";
import type { Notice } from "../../../journal/notice.js";
import { frameAltText } from "../../../notices/words/completed.js";
import { sortBySize } from "../hear/render-reply.js";
import { ALT_TEXT, FILES, within } from "../limits.js";
import type { OutgoingFile } from "./outgoing.js";

export interface NoticeFiles {
  readonly files: ReadonlyMap<string, OutgoingFile>;
  /** What is to be said of files that cannot be sent. */
  readonly sentences: readonly string[];
}

export interface FileLimits {
  /** Largest file that the place takes. */
  readonly uploadBytes: number;
  /** Uploading has failed: whatever there is stays at home. */
  readonly without: boolean;
}

/** Files by notice key; a file that is missing, too large or cannot be uploaded becomes a sentence. */
export async function noticeFiles(
  notices: readonly Notice[],
  dataFolder: string,
  { uploadBytes, without }: FileLimits,
): Promise<NoticeFiles> {
  const files = new Map<string, OutgoingFile>();
  const sentences: string[] = [];
  for (const { key, attachment } of notices) {
    if (!attachment) continue;
    const data = await readInside(dataFolder, attachment.file);
    const name = basename(attachment.file);
    if (data === null) {
      sentences.push(`The picture ${name} is no longer there.`);
      continue;
    }
    if (without) {
      sentences.push(
        `The picture ${name} could not be uploaded: ask your instructor for it; it is kept with the observatory's files.`,
      );
      continue;
    }
    const file = { name, data, altText: attachment.altText && within(attachment.altText, ALT_TEXT) };
    const { tooLarge } = sortBySize([file], uploadBytes);
    if (tooLarge.length > 0) sentences.push(...tooLarge);
    else files.set(key, file);
  }
  return { files, sentences };
}

/** The pictures of an answer's frames, as far as they are there. */
export async function frameFiles({ frames = [] }: Reply, dataFolder: string): Promise<OutgoingFile[]> {
  const files = frames.slice(0, FILES).map(async ({ request, frame }): Promise<OutgoingFile[]> => {
    const data = frame.previewFile === null ? null : await readInside(dataFolder, frame.previewFile);
    if (data === null || frame.previewFile === null) return [];
    return [
      { name: basename(frame.previewFile), data, altText: within(frameAltText(request, frame), ALT_TEXT) },
    ];
  });
  return (await Promise.all(files)).flat();
}

/** A file's bytes; null when it is not there or not inside the folder. */
async function readInside(folder: string, file: string): Promise<Buffer | null> {
  const path = await fileInside(folder, file);
  return path === null ? null : readFile(path).catch(() => null);
}
