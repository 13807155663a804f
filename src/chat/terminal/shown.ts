/** Which messages this terminal has printed: kept beside the journal, so that a restart after a kill repeats none. */
import { appendFileSync, mkdirSync, readFileSync, writeFileSync } from "node:fs";
import { dirname } from "node:path";

/** Keys kept from one start to the next; the outbox asks only about the newest few. */
const KEPT = 500;

export class ShownLog {
  private readonly keys: Set<string>;

  constructor(private readonly path: string) {
    this.keys = new Set(readLines(path).slice(-KEPT));
    this.write(() => {
      mkdirSync(dirname(path), { recursive: true });
      writeFileSync(path, [...this.keys, ""].join("\n"));
    });
  }

  has(key: string): boolean {
    return this.keys.has(key);
  }

  /** To be called in the same breath as printing, just before it: nothing may be awaited between the two. */
  add(key: string): void {
    this.keys.add(key);
    this.write(() => appendFileSync(this.path, `${key}\n`));
  }

  /** A full disk must not keep anything from being shown; at worst a restart shows one message again. */
  private write(action: () => void): void {
    try {
      action();
    } catch {
      // Known in memory until the next start.
    }
  }
}

function readLines(path: string): string[] {
  try {
    return readFileSync(path, "utf8").split("\n").filter(Boolean);
  } catch {
    return [];
  }
}
