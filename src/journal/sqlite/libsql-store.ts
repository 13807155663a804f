/**
 * A keyv store on one SQLite file, through libsql.
 *
 * A write has reached the disk when its promise resolves (write-ahead log, synchronous = FULL:
 * https://www.sqlite.org/pragma.html#pragma_synchronous). Values are texts without expiry.
 * Keys and values are read as bytes: libsql 0.5 ends the whole process on a text that is not UTF-8,
 * which a damaged file may hold.
 */
import Database from "libsql";
import type { JournalStore, Row } from "../store.js";

/** How long another program may hold the file before a write gives up, milliseconds. */
const BUSY_MS = 500;
/** Rows fetched at a time while iterating. */
const PAGE_ROWS = 500;

const SCHEMA = `PRAGMA busy_timeout = ${BUSY_MS}; PRAGMA journal_mode = WAL; PRAGMA synchronous = FULL;
  PRAGMA secure_delete = ON;
  CREATE TABLE IF NOT EXISTS keyv (key TEXT PRIMARY KEY NOT NULL, value TEXT NOT NULL);`;

type Bytes = [Buffer];

export class LibsqlStore implements JournalStore {
  readonly opts = { dialect: "sqlite" };
  /** The open connection, for maintenance. */
  readonly database: Database.Database;
  private readonly writing: Database.Statement;
  private readonly reading: Database.Statement;
  private readonly readingMany: Database.Statement;

  /** Opens or creates the file. @throws what SQLite says, with its `code` where there is one */
  constructor(path: string) {
    this.database = new Database(path);
    try {
      this.database.exec(SCHEMA);
    } catch (error) {
      this.database.close();
      throw error;
    }
    this.writing = this.database.prepare(
      "INSERT INTO keyv (key, value) VALUES (?, ?) ON CONFLICT (key) DO UPDATE SET value = excluded.value",
    );
    this.reading = this.database.prepare("SELECT CAST(value AS BLOB) FROM keyv WHERE key = ?").raw();
    this.readingMany = this.database
      .prepare(
        `SELECT CAST(key AS BLOB), CAST(value AS BLOB) FROM keyv
         WHERE key IN (SELECT value FROM json_each(?))`,
      )
      .raw();
  }

  /** Required by keyv; failures are thrown, so there is no event to hear. */
  on(): this {
    return this;
  }

  async get<Value>(key: string): Promise<Value | undefined> {
    const row = this.reading.get(key) as Bytes | undefined;
    return row?.[0].toString() as Value | undefined;
  }

  async getMany<Value>(keys: readonly string[]): Promise<(Value | undefined)[]> {
    const found = new Map<string, string>();
    for (const row of this.readingMany.iterate(JSON.stringify(keys))) {
      const [key, value] = row as [Buffer, Buffer];
      found.set(key.toString(), value.toString());
    }
    return keys.map((key) => found.get(key) as Value | undefined);
  }

  async has(key: string): Promise<boolean> {
    return this.reading.get(key) !== undefined;
  }

  async set(key: string, value: string): Promise<boolean> {
    this.writing.run(key, value);
    return true;
  }

  async setMany(rows: readonly Row[]): Promise<boolean[]> {
    this.transact(() => {
      for (const { key, value } of rows) this.writing.run(key, value);
    });
    return rows.map(() => true);
  }

  async delete(key: string): Promise<boolean> {
    return this.database.prepare("DELETE FROM keyv WHERE key = ?").run(key).changes > 0;
  }

  async deleteMany(keys: readonly string[]): Promise<boolean> {
    const deletion = "DELETE FROM keyv WHERE key IN (SELECT value FROM json_each(?))";
    this.database.prepare(deletion).run(JSON.stringify(keys));
    return true;
  }

  async clear(): Promise<void> {
    this.database.exec("DELETE FROM keyv");
  }

  async *iterator<Value>(): AsyncGenerator<(string | Awaited<Value> | undefined)[], void> {
    const keys = this.keys("", "\u{10ffff}");
    for (let start = 0; start < keys.length; start += PAGE_ROWS) {
      const page = keys.slice(start, start + PAGE_ROWS);
      const values = await this.getMany<Awaited<Value>>(page);
      for (const [index, key] of page.entries()) yield [key, values[index]];
    }
  }

  keys(from: string, before: string): readonly string[] {
    const listing = this.database
      .prepare("SELECT CAST(key AS BLOB) FROM keyv WHERE key >= ? AND key < ? ORDER BY key")
      .raw();
    return (listing.all(from, before) as Bytes[]).map(([key]) => key.toString());
  }

  structureFault(): string | null {
    const verdict = this.database
      .prepare("SELECT CAST(quick_check AS BLOB) FROM pragma_quick_check(1)")
      .raw()
      .get() as Bytes | undefined;
    return verdict?.[0].toString() === "ok" ? null : "its pages do not fit together";
  }

  settle(): void {
    this.database.exec("PRAGMA wal_checkpoint(TRUNCATE)");
  }

  async disconnect(): Promise<void> {
    if (!this.database.open) return;
    try {
      this.settle();
    } catch {
      // No room to fold the log into the file: it stays beside it and is read at the next start.
    }
    this.database.close();
  }

  private transact(work: () => void): void {
    this.database.exec("BEGIN IMMEDIATE");
    try {
      work();
      this.database.exec("COMMIT");
    } catch (error) {
      // SQLite itself rolls back on a full disk; a second ROLLBACK would hide the first error.
      if (this.database.inTransaction) this.database.exec("ROLLBACK");
      throw error;
    }
  }
}
