/** Files that people send along: streamed to disk, never held whole, and let go of when the command that wanted them is answered. */
import { randomBytes } from "node:crypto";
import { mkdir, open, rm } from "node:fs/promises";
import { join } from "node:path";
import { Refusal } from "../base/refusal.js";
import { seeRoom } from "../journal/data-folder.js";

const MEGABYTE = 1_000_000;

export class ReceivedFiles {
  private readonly folder: string;
  private readonly emptied: Promise<void>;

  /**
   * What an earlier run of the program left is removed.
   * @param surface each has a folder of its own
   */
  constructor(
    dataFolder: string,
    surface: string,
    private readonly largestMegabytes: number,
  ) {
    this.folder = join(dataFolder, "received", surface);
    // A disk that refuses now refuses again when something is received, and is told of then.
    this.emptied = rm(this.folder, { recursive: true, force: true }).catch(() => {});
  }

  /**
   * Keeps one file, and says where.
   * @param saidBytes what its sender says of its size; null for nothing
   * @throws {Refusal} codes "too-large", "no-room", "empty"; nothing is left on disk then
   * @throws {Error} what the stream throws, likewise
   */
  async take(chunks: AsyncIterable<Uint8Array>, saidBytes: number | null): Promise<string> {
    const largest = this.largestMegabytes * MEGABYTE;
    if ((saidBytes ?? 0) > largest) throw this.tooLarge();
    await this.emptied;
    const path = join(this.folder, randomBytes(12).toString("hex"));
    try {
      await mkdir(this.folder, { recursive: true });
      await seeRoom(saidBytes ?? largest, this.folder);
      await this.write(path, chunks, largest);
    } catch (error) {
      await this.drop(path);
      const full = /^(ENOSPC|EDQUOT)$/.test(String((error as NodeJS.ErrnoException).code));
      if (!full) throw error;
      throw new Refusal("no-room", "There is no room on the disk for it: the operator has to make some.", {
        cause: error,
      });
    }
    return path;
  }

  async drop(path: string): Promise<void> {
    await rm(path, { force: true });
  }

  private async write(path: string, chunks: AsyncIterable<Uint8Array>, largest: number): Promise<void> {
    const file = await open(path, "wx");
    try {
      let bytes = 0;
      for await (const chunk of chunks) {
        bytes += chunk.length;
        if (bytes > largest) throw this.tooLarge();
        await file.writeFile(chunk);
      }
      if (bytes === 0) throw new Refusal("empty", "There is nothing in it: it has no bytes.");
    } finally {
      await file.close();
    }
  }

  private tooLarge(): Refusal {
    return new Refusal(
      "too-large",
      `It is larger than ${this.largestMegabytes} MB, the most that is taken (telescope.frames.largestMegabytes): pack it with gzip, or name it at the terminal.`,
    );
  }
}
