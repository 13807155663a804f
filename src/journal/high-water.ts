/**
 * The id of the last acknowledged entry, kept beside the database.
 *
 * SQLite discards the end of a damaged write-ahead log without a word; this mark shows that it did. It is
 * written after an entry is durable and without a sync of its own, so it may lag (that raises no alarm), but
 * never runs ahead.
 */
import { closeSync, openSync, readFileSync, writeSync } from "node:fs";
import { seal, unseal } from "./seal.js";

const ID_DIGITS = 12;

export class HighWaterMark {
  private constructor(
    private readonly file: number,
    /** What the mark said when it was opened; 0 for none or an unreadable one. */
    readonly idAtOpen: number,
  ) {}

  /** @throws what the file system says */
  static open(path: string): HighWaterMark {
    const file = openSync(path, "a+");
    closeSync(file);
    const id = Number(unseal(readFileSync(path, "utf8").trimEnd()) ?? 0);
    return new HighWaterMark(openSync(path, "r+"), Number.isSafeInteger(id) ? id : 0);
  }

  /** Overwrites in place, so it needs no room on a full disk; a failure leaves the mark behind, which harms nothing. */
  raise(id: number): void {
    try {
      writeSync(this.file, `${seal(String(id).padStart(ID_DIGITS, "0"))}\n`, 0);
    } catch {
      // The entry itself is stored: its caller must not hear of a failure.
    }
  }

  close(): void {
    closeSync(this.file);
  }
}
