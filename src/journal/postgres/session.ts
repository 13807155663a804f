/**
 * One direct connection to PostgreSQL, for the lock, the beat and the writes: what the server grants to a session ends
 * with the session. A query that is under way when the connection breaks may have been carried out or not.
 */
import pg from "pg";

/** The server ends a session that says nothing for so long, so that a stopped process loses its lock. */
const IDLE_SECONDS = 10;
/** How often an idle session says that it is there, milliseconds. */
const BEAT_MS = 3_000;
/** A query that is not answered by then breaks the connection: a commit can hang on a replica that is gone. */
const DEADLINE_MS = 12_000;
const CONNECT_MS = 5_000;

/** PostgreSQL's settings for the session (https://www.postgresql.org/docs/15/runtime-config-client.html). */
const SETTINGS = [
  "synchronous_commit=on",
  "default_transaction_isolation=read\\ committed",
  `idle_session_timeout=${IDLE_SECONDS}s`,
  "idle_in_transaction_session_timeout=5s",
  "statement_timeout=10s",
  "client_connection_check_interval=2s",
  "tcp_keepalives_idle=5",
  "tcp_keepalives_interval=2",
  "tcp_keepalives_count=3",
  "tcp_user_timeout=10000",
]
  .map((setting) => `-c ${setting}`)
  .join(" ");

/** Codes beside the server's own (https://www.postgresql.org/docs/15/errcodes-appendix.html). */
export type SessionCode = "NOT_CONNECTED" | "BROKEN_UNDER_WAY" | "POOLER" | "NOT_WRITER";

export function sessionError(code: SessionCode, message: string, cause?: unknown): Error {
  return Object.assign(new Error(message, { cause }), { code });
}

export type SqlRow = Record<string, unknown>;

export class PostgresSession {
  private client: pg.Client | null = null;
  private connecting: Promise<void> | null = null;
  private beat: NodeJS.Timeout | null = null;
  private listening: { readonly channel: string; readonly heard: (payload: string) => void } | null = null;
  /** Of the last answer, on the monotonic clock, milliseconds. */
  private answeredAt = Number.NEGATIVE_INFINITY;

  /** @param lost called once when an open connection breaks without having been closed here */
  constructor(
    private readonly url: string,
    private readonly lost: () => void,
  ) {}

  get connected(): boolean {
    return this.client !== null;
  }

  /** How long the server has not been heard, milliseconds. */
  get silentMs(): number {
    return performance.now() - this.answeredAt;
  }

  /** Opens the connection if there is none. @throws what the server or the system says; "POOLER" */
  connect(): Promise<void> {
    if (this.client) return Promise.resolve();
    this.connecting ??= this.open().finally(() => {
      this.connecting = null;
    });
    return this.connecting;
  }

  async query(text: string, values: readonly unknown[] = []): Promise<readonly SqlRow[]> {
    const { client } = this;
    if (!client) throw sessionError("NOT_CONNECTED", "the database is not connected");
    const deadline = setTimeout(() => this.drop(client), DEADLINE_MS);
    try {
      const { rows } = await client.query<SqlRow>(text, [...values]);
      this.answeredAt = performance.now();
      return rows;
    } catch (error) {
      // The socket may be told of its end only after the query has been.
      await new Promise((resolve) => setImmediate(resolve));
      if (this.client === client && !endsTheSession(error)) throw error;
      this.drop(client);
      throw sessionError("BROKEN_UNDER_WAY", "the connection broke under way", error);
    } finally {
      clearTimeout(deadline);
    }
  }

  /** Hears what others notify on a channel, also after the connection was made anew; what came in between is missed. */
  async listen(channel: string, heard: (payload: string) => void): Promise<void> {
    this.listening = { channel, heard };
    if (this.client) await this.query(`LISTEN ${channel}`);
  }

  async close(): Promise<void> {
    await this.connecting?.catch(() => {});
    const { client } = this;
    this.forget();
    await client?.end().catch(() => {});
  }

  private async open(): Promise<void> {
    const client = new pg.Client({
      connectionString: this.url,
      application_name: "nightslate",
      connectionTimeoutMillis: CONNECT_MS,
      keepAlive: true,
      options: SETTINGS,
    });
    client.on("error", () => this.drop(client));
    client.on("end", () => this.drop(client));
    try {
      await client.connect();
      await refusePooler(client);
      if (this.listening) await client.query(`LISTEN ${this.listening.channel}`);
    } catch (error) {
      await client.end().catch(() => {});
      if ((error as { code?: string }).code !== undefined) throw error;
      throw sessionError("NOT_CONNECTED", "the database could not be connected", error);
    }
    client.on("notification", ({ payload }) => this.listening?.heard(payload ?? ""));
    this.client = client;
    this.answeredAt = performance.now();
    this.beat = setInterval(() => void this.query("SELECT 1").catch(() => {}), BEAT_MS);
    this.beat.unref();
  }

  /** A connection that is of no use any more: its socket goes at once, whatever still waits on it. */
  private drop(client: pg.Client): void {
    if (this.client !== client) return;
    this.forget();
    (client as unknown as { connection: { stream: { destroy(): void } } }).connection.stream.destroy();
    this.lost();
  }

  private forget(): void {
    if (this.beat) clearInterval(this.beat);
    this.beat = null;
    this.client = null;
  }
}

/** A pooler hands statements to changing sessions, and with them the lock: found out by who answers. */
async function refusePooler(client: pg.Client): Promise<void> {
  const { rows } = await client.query<{ pid: number }>("SELECT pg_backend_pid() AS pid");
  const { processID } = client as unknown as { processID: number | null };
  if (rows[0]?.pid === processID) return;
  throw sessionError("POOLER", "a connection pooler stands between");
}

/** The server says these as it ends the session: shutdown, crash, idle for too long; or a connection's own trouble. */
function endsTheSession(error: unknown): boolean {
  const { code } = error as { code?: string };
  return code === undefined || code.startsWith("57P") || code.startsWith("08") || !/^[0-9A-Z]{5}$/.test(code);
}
