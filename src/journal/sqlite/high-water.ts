/**
 * The id of the last acknowledged entry and the highest request number given, kept beside the database.
 *
 * SQLite discards the end of a damaged write-ahead log without a word; this mark shows that it did, and which
 * request numbers people have been told all the same. It is
 * written after an entry is durable and without a sync of its own, so it may lag (that raises no alarm), but
 * never runs ahead.
 */
import { closeSync, openSync, readFileSync, writeSync } from "node:fs";
import { seal, unseal } from "../seal.js";

const DIGITS = 12;

export class HighWaterMark {
  private constructor(
    private readonly file: number,
    /** What the mark said when it was opened; 0 for none or an unreadable one. */
    readonly idAtOpen: number,
    /** The same of the highest request number; null where the mark says nothing of it. */
    readonly numberAtOpen: number | null,
  ) {}

  /** @throws what the file system says */
  static open(path: string): HighWaterMark {
    const file = openSync(path, "a+");
    closeSync(file);
    const [id, number] = (unseal(readFileSync(path, "utf8").trimEnd()) ?? "").split(" ").map(Number);
    return new HighWaterMark(openSync(path, "r+"), safe(id) ?? 0, safe(number));
  }

  /**
   * Overwrites in place, so it needs no room on a full disk; a failure leaves the mark behind, which harms nothing.
   * @param number the highest request number given; 0 for none
   */
  raise(id: number, number: number): void {
    const text = [id, number].map((each) => String(each).padStart(DIGITS, "0")).join(" ");
    try {
      writeSync(this.file, `${seal(text)}\n`, 0);
    } catch {
      // The entry itself is stored: its caller must not hear of a failure.
    }
  }

  close(): void {
    closeSync(this.file);
  }
}

function safe(value: number | undefined): number | null {
  return value !== undefined && Number.isSafeInteger(value) ? value : null;
}
