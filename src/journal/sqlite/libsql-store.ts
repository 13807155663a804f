/**
 * The journal's rows in one SQLite file, through libsql.
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
const SCHEMA = `PRAGMA busy_timeout = ${BUSY_MS}; PRAGMA journal_mode = WAL; PRAGMA synchronous = FULL;
  PRAGMA secure_delete = ON;
  CREATE TABLE IF NOT EXISTS keyv (key TEXT PRIMARY KEY NOT NULL, value TEXT NOT NULL);`;

const WRITE =
  "INSERT INTO keyv (key, value) VALUES (?, ?) ON CONFLICT (key) DO UPDATE SET value = excluded.value";
const READ = `SELECT CAST(key AS BLOB), CAST(value AS BLOB) FROM keyv
  WHERE key IN (SELECT value FROM json_each(?))`;

type Bytes = [Buffer];

interface Connection {
  readonly database: Database.Database;
  readonly writing: Database.Statement;
  readonly reading: Database.Statement;
}

export class LibsqlStore implements JournalStore {
  private connection: Connection | null = null;

  constructor(private readonly path: string) {}

  /** Opens or creates the file. @throws what SQLite says, with its `code` where there is one */
  async connect(): Promise<void> {
    if (this.connection) return;
    const database = new Database(this.path);
    try {
      database.exec(SCHEMA);
      const [writing, reading] = [database.prepare(WRITE), database.prepare(READ).raw()];
      this.connection = { database, writing, reading };
    } catch (error) {
      database.close();
      throw error;
    }
  }

  /** The open connection, for maintenance. @throws when there is none */
  get database(): Database.Database {
    return this.open.database;
  }

  private get open(): Connection {
    if (!this.connection) throw new Error(`${this.path} is not open`);
    return this.connection;
  }

  async getMany<Value>(keys: readonly string[]): Promise<(Value | undefined)[]> {
    const found = new Map<string, string>();
    for (const row of this.open.reading.iterate(JSON.stringify(keys))) {
      const [key, value] = row as [Buffer, Buffer];
      found.set(key.toString(), value.toString());
    }
    return keys.map((key) => found.get(key) as Value | undefined);
  }

  async setMany(rows: readonly Row[]): Promise<boolean[]> {
    const { writing } = this.open;
    this.transact(() => {
      for (const { key, value } of rows) writing.run(key, value);
    });
    return rows.map(() => true);
  }

  async deleteMany(keys: readonly string[]): Promise<boolean> {
    const deletion = "DELETE FROM keyv WHERE key IN (SELECT value FROM json_each(?))";
    this.database.prepare(deletion).run(JSON.stringify(keys));
    return true;
  }

  async keys(from: string, before: string): Promise<readonly string[]> {
    const listing = this.database
      .prepare("SELECT CAST(key AS BLOB) FROM keyv WHERE key >= ? AND key < ? ORDER BY key")
      .raw();
    return (listing.all(from, before) as Bytes[]).map(([key]) => key.toString());
  }

  async structureFault(): Promise<string | null> {
    const verdict = this.database
      .prepare("SELECT CAST(quick_check AS BLOB) FROM pragma_quick_check(1)")
      .raw()
      .get() as Bytes | undefined;
    return verdict?.[0].toString() === "ok" ? null : "its pages do not fit together";
  }

  async settle(): Promise<void> {
    this.database.exec("PRAGMA wal_checkpoint(TRUNCATE)");
  }

  async disconnect(): Promise<void> {
    this.connection?.database.close();
    this.connection = null;
  }

  private transact(work: () => void): void {
    const { database } = this;
    database.exec("BEGIN IMMEDIATE");
    try {
      work();
      database.exec("COMMIT");
    } catch (error) {
      // SQLite itself rolls back on a full disk; a second ROLLBACK would hide the first error.
      if (database.inTransaction) database.exec("ROLLBACK");
      throw error;
    }
  }
}
