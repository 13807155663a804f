/** Reads what can be read of a damaged SQLite file, row by row, whatever the damage is. */
import {
  closeSync,
  copyFileSync,
  existsSync,
  openSync,
  readSync,
  rmSync,
  statSync,
  truncateSync,
} from "node:fs";
import Database from "libsql";
import type { Row } from "../store.js";

const COLUMNS = "rowid, CAST(key AS BLOB), CAST(value AS BLOB)";
/** Rows looked for one at a time between the two ends that could be read, at most. */
const MOST_SINGLE_LOOKS = 200_000;

/** A row's key, checksum and shortest text. */
const SMALLEST_ROW_BYTES = 64;

/** No journal grows so long; a header that says so is itself damaged. */
const MOST_BYTES = 2 ** 34;

type Raw = [rowid: number, key: Buffer, value: Buffer];

/** Every readable row of the table, whether or not its index knows it. The file itself is not written to. */
export function salvageRows(path: string): Row[] {
  const bytes = bytesPromised(path);
  if (bytes <= statSync(path).size) return rowsOf(path);
  const whole = `${path}.whole`;
  try {
    copyFileSync(path, whole);
    if (existsSync(`${path}-wal`)) copyFileSync(`${path}-wal`, `${whole}-wal`);
    truncateSync(whole, bytes);
    return rowsOf(whole);
  } finally {
    for (const suffix of ["", "-wal", "-shm"]) rmSync(whole + suffix, { force: true });
  }
}

/**
 * How long the file says it is; SQLite refuses all of a file that has been cut off by a page or more.
 * Page size at byte 16, pages at byte 28: https://www.sqlite.org/fileformat2.html#the_database_header.
 */
function bytesPromised(path: string): number {
  const header = firstBytes(path, 32);
  if (header.length < 32 || !header.toString("latin1").startsWith("SQLite format 3")) return 0;
  const pageSize = header.readUInt16BE(16);
  const bytes = (pageSize === 1 ? 65_536 : pageSize) * header.readUInt32BE(28);
  return bytes <= MOST_BYTES ? bytes : 0;
}

function firstBytes(path: string, length: number): Buffer {
  const bytes = Buffer.alloc(length);
  const file = openSync(path, "r");
  try {
    return bytes.subarray(0, readSync(file, bytes, 0, length, 0));
  } finally {
    closeSync(file);
  }
}

function rowsOf(path: string): Row[] {
  const database = new Database(path);
  try {
    const rows = new Map<number, Row>();
    const lowest = readUntilFault(database, "ASC", rows);
    if (lowest !== null) {
      const highest = readUntilFault(database, "DESC", rows);
      // Nothing from the far end either: the file cannot hold more rows than this.
      const most = highest === 0 ? Math.ceil(statSync(path).size / SMALLEST_ROW_BYTES) : (highest ?? lowest);
      lookOneByOne(database, lowest, most, rows);
    }
    return [...rows.values()];
  } finally {
    database.close();
  }
}

/**
 * Reads on from one end; the last row before a fault (0: none), or null when it came to the other end.
 * libsql fetches a hundred rows at a time, so that up to as many before the fault are left for single looks.
 */
function readUntilFault(
  database: Database.Database,
  order: "ASC" | "DESC",
  rows: Map<number, Row>,
): number | null {
  let reached = 0;
  try {
    const statement = database
      .prepare(`SELECT ${COLUMNS} FROM keyv NOT INDEXED ORDER BY rowid ${order}`)
      .raw();
    for (const raw of statement.iterate()) {
      const [rowid, key, value] = raw as Raw;
      rows.set(rowid, { key: key.toString(), value: value.toString() });
      reached = rowid;
    }
    return null;
  } catch {
    return reached;
  }
}

function lookOneByOne(
  database: Database.Database,
  above: number,
  below: number,
  rows: Map<number, Row>,
): void {
  const until = Math.min(below, above + MOST_SINGLE_LOOKS);
  for (let rowid = above + 1; rowid < until; rowid++) {
    try {
      const raw = database
        .prepare(`SELECT ${COLUMNS} FROM keyv NOT INDEXED WHERE rowid = ?`)
        .raw()
        .get(rowid);
      const [, key, value] = (raw ?? []) as Partial<Raw>;
      if (key && value) rows.set(rowid, { key: key.toString(), value: value.toString() });
    } catch {
      // This row's page is among the damaged ones.
    }
  }
}
