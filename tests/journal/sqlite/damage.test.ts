/** A damaged journal is reported in one sentence, set aside whole, and the desk opens with what is sound. */
import {
  copyFileSync,
  existsSync,
  readdirSync,
  readFileSync,
  rmSync,
  statSync,
  truncateSync,
  writeFileSync,
} from "node:fs";
import { join } from "node:path";
import fc from "fast-check";
import Database from "libsql";
import { beforeEach, describe, expect, test } from "vitest";
import type { Desk } from "../../../src/journal/desk.js";
import { seal } from "../../../src/journal/seal.js";
import { journalFiles } from "../../../src/journal/sqlite/files.js";
import { startAsking } from "../child.js";
import { all, ask, contents, newFolder, open, record, taken } from "../support.js";

let folder: string;
let database: string;

beforeEach(() => {
  folder = newFolder();
  database = journalFiles(folder).database;
});

/** Runs SQL on the journal of a closed desk. */
function sql(...statements: string[]): void {
  const connection = new Database(database);
  for (const statement of statements) connection.exec(statement);
  connection.close();
}

/** A closed journal with requests #1 to #`count`, one entry each. */
async function journalOf(count: number): Promise<void> {
  const desk = await open(folder);
  await Promise.all(Array.from({ length: count }, () => ask(desk)));
  await desk.close();
}

const numbers = (desk: Desk): number[] => [...desk.state.requests.keys()];
const idsOf = async (desk: Desk): Promise<number[]> => (await all(desk.entries())).map(({ id }) => id);

test.each([1, 3, 8])("a file cut off by %i pages gives back what is left of it", async (pages) => {
  await journalOf(120);
  const { size } = statSync(database);
  truncateSync(database, size - pages * 4096 - 700);
  const cut = readFileSync(database);
  const desk = await open(folder);
  const left = numbers(desk);
  expect(left.length).toBeGreaterThan(20);
  expect(left).toEqual([...new Set(left)].sort((a, b) => a - b));
  expect(desk.reports[0]).toMatch(/could not be read; \d+ sound entries are in use/);
  expect(readFileSync(join(folder, "journal.damaged-1.db"))).toEqual(cut);
  expect((await ask(desk)).entry?.id).toBe(121);
  expect(readdirSync(folder).filter((name) => /new|whole/.test(name))).toEqual([]);
});

describe("damaged rows", () => {
  test("a corrupt last entry is named and set aside; the others are in use and its id is not given again", async () => {
    await journalOf(5);
    sql("UPDATE keyv SET value = substr(value, 1, 60) WHERE key = 'entry:000000000005'");
    const damaged = readFileSync(database);
    const desk = await open(folder);
    expect(desk.reports).toEqual([
      `The journal ${database} was mended: entry 5 could not be read; 4 sound entries are in use, and the damaged file is kept as ${join(folder, "journal.damaged-1.db")}. Request #5 may have been lost with it: whoever was told this number should ask again.`,
    ]);
    expect(readFileSync(join(folder, "journal.damaged-1.db"))).toEqual(damaged);
    expect(numbers(desk)).toEqual([1, 2, 3, 4]);
    expect((await ask(desk)).entry?.id).toBe(6);
    expect(numbers(desk)).toEqual([1, 2, 3, 4, 6]);
    await desk.close();
    const again = await open(folder);
    expect(again.reports).toEqual([]);
    expect(await idsOf(again)).toEqual([1, 2, 3, 4, 5, 6]);
  });

  test("a flipped bit anywhere in an entry is noticed", async () => {
    await journalOf(3);
    sql(
      "UPDATE keyv SET value = replace(value, '\"tier\":1', '\"tier\":0') WHERE key = 'entry:000000000002'",
    );
    const desk = await open(folder);
    expect(desk.reports[0]).toContain("entry 2 could not be read");
    expect(numbers(desk)).toEqual([1, 3]);
  });

  test("an entry lost in the middle takes with it only what depended on it", async () => {
    const desk = await open(folder);
    await ask(desk);
    await ask(desk);
    await record(desk, taken(2));
    await record(desk, { type: "request.completed", number: 2 });
    await record(desk, taken(1));
    await desk.close();
    sql("DELETE FROM keyv WHERE key = 'entry:000000000002'");
    const again = await open(folder);
    expect(again.reports[0]).toContain(
      "entry 2 could not be read (2 later events that depended on it were passed over)",
    );
    expect(numbers(again)).toEqual([1]);
    expect(again.state.taken?.number).toBe(1);
    const state = contents(again.state);
    await again.close();
    expect(contents((await open(folder)).state)).toBe(state);
  });

  test("an entry under another's key is not taken for it", async () => {
    await journalOf(4);
    sql(
      "DELETE FROM keyv WHERE key = 'entry:000000000003'",
      "UPDATE keyv SET key = 'entry:000000000003' WHERE key = 'entry:000000000004'",
    );
    const desk = await open(folder);
    expect(desk.reports[0]).toContain("entry 3 could not be read");
    expect(numbers(desk)).toEqual([1, 2, 4]);
  });

  test.each([
    ["text that is no entry", "'entry:000000000009'", "'nonsense'"],
    ["bytes that are no text", "'entry:000000000004'", "CAST(x'ff00fe41' AS TEXT)"],
    ["a key that is no key", "CAST(x'656e7472793affff' AS TEXT)", "'x'"],
    ["a sealed text that is no entry", "'entry:000000000004'", `'${seal('{"id":"four"}')}'`],
  ])("a row of garbage (%s) is set aside", async (_, key, value) => {
    await journalOf(3);
    sql(`INSERT INTO keyv VALUES (${key}, ${value})`);
    const desk = await open(folder);
    expect(desk.reports).toHaveLength(1);
    expect(numbers(desk)).toEqual([1, 2, 3]);
    await desk.close();
    expect((await open(folder)).reports).toEqual([]);
  });

  test("a damaged snapshot costs nothing", async () => {
    const desk = await open(folder);
    await Promise.all(Array.from({ length: 2_010 }, () => ask(desk)));
    const state = contents(desk.state);
    await desk.close();
    sql("UPDATE keyv SET value = replace(value, 'waiting', 'wailing') WHERE key > 'snapshot:000000002'");
    const again = await open(folder);
    expect(again.reports[0]).toContain("every entry could be read");
    expect(contents(again.state)).toBe(state);
  });

  test("an old entry lost behind a snapshot is named, and the state keeps what it said", async () => {
    const desk = await open(folder);
    await Promise.all(Array.from({ length: 1_010 }, () => ask(desk)));
    const state = contents(desk.state);
    await desk.close();
    sql("UPDATE keyv SET value = 'x' WHERE key = 'entry:000000000500'");
    const again = await open(folder);
    expect(again.reports[0]).toContain("entry 500 could not be read");
    expect(contents(again.state)).toBe(state);
  });
});

describe("a damaged file", () => {
  test("whose end is cut off opens with the entries that are left", async () => {
    await journalOf(300);
    truncateSync(database, Math.floor(statSync(database).size * 0.6));
    const desk = await open(folder);
    expect(desk.reports[0]).toMatch(/entr(y|ies) .*300 could not be read/);
    expect(desk.state.requests.size).toBeGreaterThan(100);
    expect(desk.state.requests.size).toBeLessThan(300);
    expect(await idsOf(desk)).toEqual(Array.from({ length: 300 }, (_, index) => index + 1));
  });

  test("that is no database at all is refused, and left as it is", async () => {
    const text = "The observing log of 25 November.\n".repeat(200);
    writeFileSync(database, text);
    await expect(open(folder)).rejects.toMatchObject({
      code: "journal-unreadable",
      message: `${database} is not a readable journal, and nothing in it has been changed: put a backup of it back, or move all files named journal.* out of ${folder} to begin an empty one.`,
    });
    expect(readFileSync(database, "utf8")).toBe(text);
  });

  test.each([
    ["emptied", (file: string) => writeFileSync(file, "")],
    ["taken away", (file: string) => rmSync(file)],
  ])("that was %s is not mistaken for a new one, until all that belongs to it is gone", async (_, harm) => {
    await journalOf(2);
    // In a folder that this process has not had open: SQLite shares what it knows of a file within a process.
    const copy = copyOf(folder);
    harm(journalFiles(copy).database);
    await expect(open(copy)).rejects.toMatchObject({ code: "journal-unreadable" });
    for (const file of readdirSync(copy)) rmSync(join(copy, file));
    expect((await open(copy)).state.lastEntryId).toBe(0);
  });

  test("whose first bytes name a format that nobody knows is refused with a sentence, and left as it is", async () => {
    await journalOf(20);
    const bytes = readFileSync(database);
    // Bytes 44 to 47: the schema format number (https://www.sqlite.org/fileformat2.html, section 1.3).
    bytes.fill(5, 44, 48);
    writeFileSync(database, bytes);
    await expect(open(folder)).rejects.toMatchObject({ code: "journal-unreadable" });
    expect(readFileSync(database)).toEqual(bytes);
  });

  test("overwritten at random spots never ends the process, and never loses an entry without naming it", async () => {
    await journalOf(120);
    const pristine = readFileSync(database);
    const spot = fc.record({
      at: fc.nat({ max: pristine.length - 1 }),
      length: fc.integer({ min: 1, max: 3_000 }),
      byte: fc.nat({ max: 255 }),
    });
    await fc.assert(
      fc.asyncProperty(fc.array(spot, { minLength: 1, maxLength: 3 }), async (spots) => {
        for (const file of readdirSync(folder)) rmSync(join(folder, file));
        const bytes = Buffer.from(pristine);
        for (const { at, length, byte } of spots) bytes.fill(byte, at, Math.min(bytes.length, at + length));
        writeFileSync(database, bytes);
        writeFileSync(join(folder, "journal.mark"), `${seal("000000000120")}\n`);
        const desk = await open(folder).catch((error: { code: string }) => error.code);
        if (typeof desk === "string") {
          expect(desk).toBe("journal-unreadable");
          return;
        }
        const entries = await all(desk.entries());
        const lost = entries.filter(({ by }) => by === "rescue");
        expect(entries).toHaveLength(120);
        expect(desk.state.requests.size).toBe(120 - lost.length);
        if (lost.length > 0) expect(desk.reports[0]).toContain("could not be read");
        await desk.close();
        expect((await open(folder)).reports).toEqual([]);
      }),
      { numRuns: 30 },
    );
  });
});

describe("a damaged write-ahead log", () => {
  /** Makes the folder as a killed process leaves it, everything still in the log; the last acknowledged id. */
  async function killedWith(count: number): Promise<number> {
    const child = startAsking(folder, "run1");
    let heard = 0;
    for await (const line of child.lines) {
      if (line.includes("run1")) heard++;
      if (heard === count) child.process.kill("SIGKILL");
    }
    expect(statSync(`${database}-wal`).size).toBeGreaterThan(10_000);
    return Number(readFileSync(join(folder, "journal.mark"), "utf8").slice(9, 21));
  }

  test.each([
    ["cut short", (log: string) => truncateSync(log, Math.floor(statSync(log).size / 2))],
    ["cut short to nothing", (log: string) => truncateSync(log, 0)],
    ["taken away", (log: string) => rmSync(log)],
    ["overwritten in the middle", (log: string) => flip(log, 0.5)],
    ["overwritten at its start", (log: string) => flip(log, 0)],
  ])("%s: the acknowledged entries that it held are named", async (_, harm) => {
    const acknowledged = await killedWith(40);
    const whole = copyOf(folder);
    harm(`${database}-wal`);
    const outcome = await open(folder).catch((error: { code: string }) => error.code);
    if (typeof outcome === "string") {
      expect(outcome).toBe("journal-unreadable");
    } else {
      expect(outcome.reports[0]).toMatch(/entries \d+ to \d+ could not be read/);
      expect(outcome.state.lastEntryId).toBe(acknowledged);
      expect(outcome.state.requests.size).toBeLessThan(acknowledged);
    }
    expect((await open(whole)).state.requests.size).toBeGreaterThanOrEqual(acknowledged);
  });

  test("a number that was told is not given to another request, at this start or the next", async () => {
    const acknowledged = await killedWith(40);
    truncateSync(`${database}-wal`, Math.floor(statSync(`${database}-wal`).size * 0.75));
    const desk = await open(folder);
    const left = desk.state.requests.size;
    expect(left).toBeLessThan(acknowledged);
    expect(desk.state.nextNumber).toBe(acknowledged + 1);
    expect(desk.reports[0]).toContain(
      `Requests #${left + 1} to #${acknowledged} may have been lost with it: whoever was told one of these numbers should ask again.`,
    );
    await desk.close();
    const again = await open(folder);
    await ask(again);
    expect(numbers(again).at(-1)).toBe(acknowledged + 1);
  });

  test("where the mark knows no numbers, each lost entry may have given one", async () => {
    await journalOf(5);
    writeFileSync(join(folder, "journal.mark"), `${seal("000000000005")}\n`);
    sql("UPDATE keyv SET value = substr(value, 1, 60) WHERE key >= 'entry:000000000004' AND key < 'entry;'");
    const desk = await open(folder);
    expect(numbers(desk)).toEqual([1, 2, 3]);
    expect(desk.state.nextNumber).toBe(6);
    await desk.close();
    expect((await open(folder)).state.nextNumber).toBe(6);
  });

  test("control: without the mark beside it, SQLite loses the end of the log without a word", async () => {
    const acknowledged = await killedWith(40);
    truncateSync(`${database}-wal`, Math.floor(statSync(`${database}-wal`).size / 2));
    rmSync(join(folder, "journal.mark"));
    const desk = await open(folder);
    expect(desk.reports).toEqual([]);
    expect(desk.state.requests.size).toBeLessThan(acknowledged);
  });

  test("is kept beside the damaged file when something was lost, and only then", async () => {
    await killedWith(40);
    flip(`${database}-wal`, 0.5);
    const log = readFileSync(`${database}-wal`);
    const desk = await open(folder);
    expect(desk.reports).toHaveLength(1);
    expect(readFileSync(join(folder, "journal.damaged-1.db-wal"))).toEqual(log);
    expect(existsSync(journalFiles(folder).keptLog)).toBe(false);
  });
});

function flip(file: string, share: number): void {
  const bytes = readFileSync(file);
  const at = Math.floor(bytes.length * share);
  for (let index = at; index < at + 64; index++) bytes[index] = ~(bytes[index] as number) & 0xff;
  writeFileSync(file, bytes);
}

function copyOf(from: string): string {
  const to = newFolder();
  for (const file of readdirSync(from)) copyFileSync(join(from, file), join(to, file));
  return to;
}
