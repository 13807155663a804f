/** The journal's rows in PostgreSQL: each statement is a transaction, and a write holds only under its writer's epoch. */
import type { JournalStore, Row } from "../store.js";
import { type PostgresSession, sessionError } from "./session.js";

const TABLES = `
  CREATE TABLE IF NOT EXISTS writer (
    telescope text COLLATE "C" PRIMARY KEY,
    lock_id integer GENERATED ALWAYS AS IDENTITY UNIQUE,
    epoch bigint NOT NULL DEFAULT 0,
    holder text NOT NULL DEFAULT '',
    since timestamptz NOT NULL DEFAULT now());
  CREATE TABLE IF NOT EXISTS journal (
    telescope text COLLATE "C" NOT NULL REFERENCES writer,
    key text COLLATE "C" NOT NULL,
    value text NOT NULL,
    PRIMARY KEY (telescope, key));`;

/** Two that begin at once wait for each other. Any number does that no journal's lock uses. */
const MAKING_LOCK = "SELECT pg_advisory_xact_lock(1314145350)";

/** The row lock keeps a successor from taking office between the look at the epoch and the write. */
const OFFICE =
  "office AS MATERIALIZED (SELECT telescope FROM writer WHERE telescope = $1 AND epoch = $2 FOR SHARE)";

const PUT = `WITH ${OFFICE},
  put AS (
    INSERT INTO journal SELECT office.telescope, sent.key, sent.value
      FROM office, unnest($3::text[], $4::text[]) sent(key, value)
    ON CONFLICT (telescope, key) DO UPDATE SET value = excluded.value RETURNING key)
  SELECT (SELECT count(*) FROM office)::int AS writers, (SELECT count(*) FROM put)::int AS stored,
    pg_notify($5, $1) FROM (SELECT count(*) FROM put) done`;

const REMOVE = `WITH ${OFFICE},
  gone AS (DELETE FROM journal USING office
    WHERE journal.telescope = office.telescope AND journal.key = ANY ($3::text[]) RETURNING key)
  SELECT (SELECT count(*) FROM office)::int AS writers, (SELECT count(*) FROM gone)::int AS removed`;

/** Told with the journal's name after each write, to whoever listens. */
const WRITTEN = "nightslate_written";

export class PostgresStore implements JournalStore {
  /** The writer in whose name this store writes. */
  epoch = "0";

  constructor(
    private readonly session: PostgresSession,
    private readonly journal: string,
  ) {}

  async connect(): Promise<void> {
    if (this.session.connected) return;
    await this.session.connect();
    await this.makeTables();
  }

  async getMany<Value>(keys: readonly string[]): Promise<(Value | undefined)[]> {
    const rows = await this.session.query(
      "SELECT key, value FROM journal WHERE telescope = $1 AND key = ANY ($2::text[])",
      [this.journal, keys],
    );
    const found = new Map(rows.map(({ key, value }) => [key, value]));
    return keys.map((key) => found.get(key) as Value | undefined);
  }

  async setMany(rows: readonly Row[]): Promise<boolean[]> {
    // One statement may touch a row once.
    const last = new Map(rows.map(({ key, value }) => [key, value]));
    const values = [this.journal, this.epoch, [...last.keys()], [...last.values()], WRITTEN];
    const [done] = await this.session.query(PUT, values);
    if (done?.writers !== 1) throw deposed();
    return rows.map(() => done.stored === last.size);
  }

  async deleteMany(keys: readonly string[]): Promise<boolean> {
    const [done] = await this.session.query(REMOVE, [this.journal, this.epoch, keys]);
    if (done?.writers !== 1) throw deposed();
    return true;
  }

  async keys(from: string, before: string): Promise<readonly string[]> {
    const [low, high] = [bound(from), bound(before)];
    const rows = await this.session.query(
      `SELECT key FROM journal WHERE telescope = $1 AND key ${low.cut ? ">" : ">="} $2
        AND key ${high.cut ? "<=" : "<"} $3 ORDER BY key`,
      [this.journal, low.text, high.text],
    );
    return rows.map(({ key }) => String(key));
  }

  /** What the server holds damaged it says when it is read; each entry carries a seal of its own besides. */
  async structureFault(): Promise<null> {
    return null;
  }

  /** Replaced values go when the server cleans its table; its log and its backups keep them for as long as they do. */
  async settle(): Promise<void> {}

  async follow(written: () => void): Promise<void> {
    await this.session.listen(WRITTEN, (journal) => {
      if (journal === this.journal) written();
    });
  }

  async disconnect(): Promise<void> {
    await this.session.close();
  }

  private async makeTables(): Promise<void> {
    const [found] = await this.session.query("SELECT to_regclass('journal') IS NOT NULL AS there");
    if (!found?.there) await this.session.query(`BEGIN; ${MAKING_LOCK}; ${TABLES} COMMIT`);
  }
}

function deposed(): Error {
  return sessionError("NOT_WRITER", "another has become its writer");
}

/** PostgreSQL's texts hold no NUL, so a bound with one lies just behind what stands before it. */
function bound(text: string): { readonly text: string; readonly cut: boolean } {
  const end = text.indexOf("\0");
  return end === -1 ? { text, cut: false } : { text: text.slice(0, end), cut: true };
}
