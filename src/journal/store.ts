/** What the journal asks of a store: keyv's adapter interface, whole batches, and keys in order. */
import type { KeyvStoreAdapter } from "keyv";

export interface Row {
  readonly key: string;
  readonly value: string;
}

export interface JournalStore extends Omit<KeyvStoreAdapter, "setMany" | "getMany" | "deleteMany" | "has"> {
  /** All rows or none: one transaction. Resolves to `true` for each row once they are durable. */
  setMany(rows: readonly Row[]): Promise<boolean[]>;
  /** Values in the order of `keys`; undefined where there is none. */
  getMany<Value>(keys: readonly string[]): Promise<(Value | undefined)[]>;
  /** All of them in one transaction. */
  deleteMany(keys: readonly string[]): Promise<boolean>;
  has(key: string): Promise<boolean>;
  /** Keys from `from` (included) to `before` (not included), in code-point order. */
  keys(from: string, before: string): readonly string[];
  /** One clause about what is wrong with the file's structure; null when it is sound. */
  structureFault(): string | null;
  /** Leaves no replaced value behind in a write-ahead log. */
  settle(): void;
  disconnect(): Promise<void>;
}
