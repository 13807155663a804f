/**
 * The office of a journal's one writer. An advisory lock of the session chooses who may hold it; what makes it safe is
 * the epoch, counted up when the office is taken: a write under an earlier one stores nothing, also when it comes from a
 * process that slept, or through a server that was failed over to.
 */
import { hostname } from "node:os";
import { Refusal } from "../../base/refusal.js";
import type { WriterLock } from "../store.js";
import type { PostgresStore } from "./postgres-store.js";
import { type PostgresSession, sessionError } from "./session.js";

/** Of the two numbers of an advisory lock the first, so that others' locks in the database are not met. */
const LOCK_CLASS = 1314145350;
/** How often the office is sought again after the connection broke, milliseconds. */
const SEEK_MS = 500;
/** How long a session of ours that the server still believes in may take to end, and how often it is looked at. */
const [GHOST_MS, LOOK_MS] = [3_000, 50];

/** The row of a journal's writers: who took office last. */
interface Writer {
  readonly lock_id: number;
  readonly epoch: string;
  readonly holder: string;
  readonly since: Date;
}

export class PostgresOffice implements WriterLock {
  private lost: ((clause: string) => void) | null = null;
  /** Of the office as it was taken last; null before and after. */
  private epoch: bigint | null = null;
  /** The present connection holds the lock. */
  private held = false;
  private taking: Promise<void> | null = null;
  private seeking: NodeJS.Timeout | null = null;

  constructor(
    private readonly session: PostgresSession,
    private readonly store: PostgresStore,
    private readonly journal: string,
  ) {}

  take(lost: (clause: string) => void): Promise<void> {
    this.lost = lost;
    return this.takeOnce();
  }

  async release(): Promise<void> {
    this.stopSeeking();
    this.lost = null;
    this.epoch = null;
    this.held = false;
    await this.session.close();
  }

  /** The connection broke: the lock went with it, and is sought until it is had again or is another's. */
  disconnected(): void {
    this.held = false;
    if (this.lost) this.seekAfter(0);
  }

  private seekAfter(milliseconds: number): void {
    this.stopSeeking();
    this.seeking = setTimeout(() => void this.seek(), milliseconds);
    this.seeking.unref();
  }

  private async seek(): Promise<void> {
    try {
      await this.takeOnce();
    } catch (error) {
      const { code, message } = error as { code?: string; message: string };
      if (code === "in-use" || code === "NOT_WRITER") this.lost?.(clauseOf(message));
      else if (this.lost) this.seekAfter(SEEK_MS);
    }
  }

  private stopSeeking(): void {
    if (this.seeking) clearTimeout(this.seeking);
    this.seeking = null;
  }

  private takeOnce(): Promise<void> {
    this.taking ??= this.takeNow().finally(() => {
      this.taking = null;
    });
    return this.taking;
  }

  private async takeNow(): Promise<void> {
    await this.store.connect();
    if (this.held) return;
    const writer = await this.writer();
    if (!(await this.locked(writer.lock_id)) && !(await this.outlivedGhost(writer))) {
      const who = `Another Nightslate (${writer.holder}, since ${writer.since.toISOString()}) is the writer of the journal ${this.journal}`;
      throw new Refusal(
        "in-use",
        `${who}: use that one, stop it first, wait for it with --standby, or name another journal in the store's address.`,
        { cause: new Error(who) },
      );
    }
    await this.enter();
  }

  private async writer(): Promise<Writer> {
    const [row] = await this.session.query(
      "SELECT lock_id, epoch, holder, since FROM writer WHERE telescope = $1",
      [this.journal],
    );
    if (row) return row as unknown as Writer;
    await this.session.query("INSERT INTO writer (telescope) VALUES ($1) ON CONFLICT DO NOTHING", [
      this.journal,
    ]);
    return this.writer();
  }

  /** Nothing is read of the journal before the epoch has been counted up: what was sent earlier cannot land after it. */
  private async enter(): Promise<void> {
    const [row] = await this.session.query(
      "UPDATE writer SET epoch = epoch + 1, holder = $2, since = now() WHERE telescope = $1 RETURNING epoch",
      [this.journal, `${hostname()}, process ${process.pid}`],
    );
    const epoch = BigInt((row as { epoch: string }).epoch);
    if (this.epoch !== null && epoch !== this.epoch + 1n) {
      await this.session.close();
      throw sessionError("NOT_WRITER", "another has written to the journal meanwhile");
    }
    this.epoch = epoch;
    this.store.epoch = String(epoch);
    this.held = true;
  }

  private async locked(lockId: number): Promise<boolean> {
    const [row] = await this.session.query("SELECT pg_try_advisory_lock($1, $2) AS held", [
      LOCK_CLASS,
      lockId,
    ]);
    return row?.held === true;
  }

  /** After a line went dead the server may still hold our own lost session, and the lock with it: that one is ended. */
  private async outlivedGhost({
    lock_id: lockId,
    epoch,
  }: {
    lock_id: number;
    epoch: string;
  }): Promise<boolean> {
    if (this.epoch === null || BigInt(epoch) !== this.epoch) return false;
    await this.session.query(
      `SELECT pg_terminate_backend(pid) FROM pg_locks
        WHERE locktype = 'advisory' AND classid = $1 AND objid = $2 AND granted AND pid <> pg_backend_pid()
          AND database = (SELECT oid FROM pg_database WHERE datname = current_database())`,
      [LOCK_CLASS, lockId],
    );
    for (let waited = 0; waited < GHOST_MS; waited += LOOK_MS) {
      if (await this.locked(lockId)) return true;
      await new Promise((resolve) => setTimeout(resolve, LOOK_MS));
    }
    return false;
  }
}

function clauseOf(message: string): string {
  return message.startsWith("Another Nightslate") ? "another has become its writer" : message;
}
