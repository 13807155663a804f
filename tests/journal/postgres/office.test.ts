/** Who may write to a journal in PostgreSQL, through broken lines, restarts and processes that slept. */
import pg from "pg";
import { afterEach, beforeAll, describe, expect, test } from "vitest";
import { silentLog } from "../../../src/base/log.js";
import { type OpenedDesk, openDesk } from "../../../src/journal/open-desk.js";
import { readPostgresPlace } from "../../../src/journal/postgres/place.js";
import { ManualClock } from "../../../src/tools/manual-clock.js";
import { all, ask, EVENING, noNotices } from "../support.js";
import { type Line, lineTo } from "./line.js";
import { hasPostgres, type Place, postgresServer, type TestServer } from "./server.js";

describe.skipIf(!hasPostgres())("the writer of a journal in PostgreSQL", () => {
  let server: TestServer;
  let line: Line | null = null;
  const desks: OpenedDesk[] = [];

  beforeAll(async () => {
    server = (await postgresServer()) as TestServer;
  });

  afterEach(async () => {
    for (const desk of desks.splice(0)) await desk.close().catch(() => {});
    await line?.close();
    line = null;
  });

  async function open(store: Place, trouble?: (clause: string | null) => void): Promise<OpenedDesk> {
    const clock = new ManualClock(EVENING);
    const desk = await openDesk({
      store,
      clock,
      derive: noNotices,
      log: silentLog,
      ...(trouble && { trouble }),
    });
    desks.push(desk);
    return desk;
  }

  /** The same journal, by way of a line that can be cut. */
  async function throughLine(place: Place): Promise<Place> {
    line = await lineTo(place.url);
    return { ...place, url: line.url };
  }

  /** As the database's owner, on a connection of its own. */
  async function asOwner(sql: string, ...values: unknown[]): Promise<unknown[]> {
    const client = new pg.Client({ connectionString: server.url });
    await client.connect();
    try {
      return (await client.query(sql, values)).rows;
    } finally {
      await client.end();
    }
  }

  const endSessions = (journal: string): Promise<unknown[]> =>
    asOwner(
      `SELECT pg_terminate_backend(pid) FROM pg_locks JOIN writer ON objid = lock_id
        WHERE locktype = 'advisory' AND telescope = $1`,
      journal,
    );
  const stored = async (journal: string): Promise<unknown[]> =>
    asOwner("SELECT key FROM journal WHERE telescope = $1 AND key LIKE 'entry:%' ORDER BY key", journal);

  test("goes on by itself when the server ended its session", async () => {
    const place = server.newPlace();
    const desk = await open(place);
    await ask(desk);
    await endSessions(place.journal);
    await expect
      .poll(() =>
        ask(desk).then(
          ({ entry }) => entry?.id,
          () => null,
        ),
      )
      .toBe(2);
    expect((await all(desk.entries())).map(({ id }) => id)).toEqual([1, 2]);
  });

  test("refuses with a sentence while the server is down, and accepts again when it is back", async () => {
    const said: (string | null)[] = [];
    const desk = await open(server.newPlace(), (clause) => said.push(clause));
    await ask(desk);
    server.stop("immediate");
    await expect
      .poll(() =>
        ask(desk).then(
          () => null,
          (error: Error) => error.message,
        ),
      )
      .toBe(
        "Nothing was stored and nothing has changed: the database does not answer; see that it runs and can be reached, then try again.",
      );
    server.start();
    await expect
      .poll(
        () =>
          ask(desk).then(
            ({ entry }) => entry?.id,
            () => null,
          ),
        { timeout: 5_000 },
      )
      .toBe(2);
    expect(said.at(-1)).toBeNull();
    expect((await all(desk.entries())).map(({ id }) => id)).toEqual([1, 2]);
  });

  test("who slept while another took office stores nothing when it wakes, and says that it is deposed", async () => {
    const place = server.newPlace();
    const slept = await open(place);
    await ask(slept);
    // What the server does to a session that has been silent for too long; the process cannot notice while it sleeps.
    await asOwner("UPDATE writer SET epoch = epoch + 1 WHERE telescope = $1", place.journal);
    await expect(ask(slept)).rejects.toMatchObject({ code: "deposed" });
    await expect(ask(slept)).rejects.toMatchObject({ code: "deposed" });
    expect(await stored(place.journal)).toHaveLength(1);
  });

  test("whose line broke is deposed when another has become the writer meanwhile", async () => {
    const place = server.newPlace();
    const first = await open(await throughLine(place));
    await ask(first);
    await (line as Line).close();
    await endSessions(place.journal);
    const second = await open(place);
    await ask(second, "terminal:juno");
    line = null;
    await expect(ask(first)).rejects.toThrow();
    expect(await stored(place.journal)).toHaveLength(2);
  });

  test("whose answer was lost looks first: the request stands once, and its once-key finds it", async () => {
    const place = server.newPlace();
    const desk = await open(await throughLine(place));
    await ask(desk);
    (line as Line).swallowAnswers();
    const asking = ask(desk, "terminal:ines", {}, "press-1");
    await expect.poll(() => stored(place.journal)).toHaveLength(2);
    (line as Line).cutForClient();
    await expect(asking).rejects.toMatchObject({ code: "unsure" });
    await expect
      .poll(() => ask(desk, "terminal:ines", {}, "press-1").catch(() => null), { timeout: 5_000 })
      .toMatchObject({ repeated: true, entry: { id: 2 } });
    expect(await stored(place.journal)).toHaveLength(2);
  });

  test("whose line went dead is not kept out by its own lost session", async () => {
    const place = server.newPlace();
    const desk = await open(await throughLine(place));
    await ask(desk);
    (line as Line).cutForClient();
    await expect
      .poll(
        () =>
          ask(desk).then(
            ({ entry }) => entry?.id,
            () => null,
          ),
        { timeout: 5_000 },
      )
      .toBe(2);
    await expect(open(place)).rejects.toMatchObject({ code: "in-use" });
  });
});

describe("the address of a journal in PostgreSQL", () => {
  const read = (text: string) => readPostgresPlace(text, "Tern Hollow Observatory");

  test("names the journal itself, or else it has the site's name", () => {
    expect(read("postgres://nightslate@db.example/class?sslmode=verify-full")).toEqual({
      url: "postgres://nightslate@db.example/class?sslmode=verify-full",
      journal: "tern-hollow-observatory",
    });
    expect(read("postgresql://u@h:5433/d?journal=east-dome").journal).toBe("east-dome");
  });

  test.each([
    ["mysql://u@h/d", /is no database's address: write postgres:\/\//],
    ["postgres://h", /is no database's address/],
    ["postgres://u:secret@h/d", /takes no password: put it into the environment as PGPASSWORD/],
    ["postgres://u@h/d?sslmode=disable&sslrootcert=ca.pem", /switches TLS off/],
    ["postgres://u@h/d?journal=East Dome", /lower-case letters, digits and dashes/],
  ])("%s is refused", (text, sentence) => {
    expect(() => read(text)).toThrow(sentence);
  });
});
