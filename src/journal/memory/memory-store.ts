/** A journal store that forgets at exit: for tests and for trying things out. */
import type { JournalStore, Row } from "../store.js";

export class MemoryStore implements JournalStore {
  readonly opts = { dialect: "sqlite" };
  private readonly rows = new Map<string, string>();

  on(): this {
    return this;
  }

  async get<Value>(key: string): Promise<Value | undefined> {
    return this.rows.get(key) as Value | undefined;
  }

  async getMany<Value>(keys: readonly string[]): Promise<(Value | undefined)[]> {
    return keys.map((key) => this.rows.get(key) as Value | undefined);
  }

  async has(key: string): Promise<boolean> {
    return this.rows.has(key);
  }

  async set(key: string, value: string): Promise<boolean> {
    this.rows.set(key, value);
    return true;
  }

  async setMany(rows: readonly Row[]): Promise<boolean[]> {
    for (const { key, value } of rows) this.rows.set(key, value);
    return rows.map(() => true);
  }

  async delete(key: string): Promise<boolean> {
    return this.rows.delete(key);
  }

  async deleteMany(keys: readonly string[]): Promise<boolean> {
    for (const key of keys) this.rows.delete(key);
    return true;
  }

  async clear(): Promise<void> {
    this.rows.clear();
  }

  async *iterator<Value>(): AsyncGenerator<(string | Awaited<Value> | undefined)[], void> {
    for (const key of [...this.rows.keys()].sort()) yield [key, this.rows.get(key) as Awaited<Value>];
  }

  keys(from: string, before: string): readonly string[] {
    return [...this.rows.keys()].filter((key) => key >= from && key < before).sort();
  }

  structureFault(): null {
    return null;
  }

  settle(): void {}

  async disconnect(): Promise<void> {}
}
