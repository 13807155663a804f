/** What is removed when a person is forgotten, and that the queue does not notice. */
import { readdirSync, readFileSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, test } from "vitest";
import { person } from "../../src/base/phrase.js";
import type { DeriveNotices } from "../../src/journal/desk.js";
import { applyEntry, emptyState } from "../../src/journal/fold.js";
import { withoutPerson } from "../../src/journal/forget.js";
import { forgetKey } from "../../src/journal/keys.js";
import { seal } from "../../src/journal/seal.js";
import { LibsqlStore } from "../../src/journal/sqlite/libsql-store.js";
import { all, ask, contents, entryOf, joined, newFolder, notice, open, record } from "./support.js";

const MIRA = "terminal:mira";
const SECRET = "Mirabella-Quince";

const noteToOwner: DeriveNotices = (entry) =>
  entry.events.flatMap((event) =>
    event.type === "request.made"
      ? [notice(`${entry.id}:made`, [event.owner], `${event.wish.note} is noted`)]
      : [],
  );

/** All bytes of the journal's files. */
const bytesIn = (folder: string): string =>
  readdirSync(folder)
    .map((file) => readFileSync(join(folder, file), "latin1"))
    .join("\n");

test("a forgotten person's name and words are in none of the journal's files, and the queue is the same", async () => {
  const folder = newFolder();
  const desk = await open(folder, { derive: noteToOwner });
  await record(desk, joined(MIRA, SECRET), joined("terminal:ines", "Ines"));
  await ask(desk, MIRA, { note: `${SECRET} was here` });
  await ask(desk, "terminal:ines", { note: "for the poster" });
  await record(desk, { type: "notices.delivered", keys: ["2:made"], messageId: "m1" });
  await Promise.all(Array.from({ length: 1_200 }, () => ask(desk, "terminal:ines")));
  expect(bytesIn(folder)).toContain(SECRET);
  const queue = [...desk.state.waiting];
  await record(desk, { type: "person.forgotten", personId: MIRA });
  expect(bytesIn(folder)).not.toContain(SECRET);
  expect([...desk.state.waiting]).toEqual(queue);
  expect(desk.state.people.get(MIRA)?.name).toBe("someone");
  expect(desk.state.requests.get(2)?.note).toBe("for the poster");
  const state = contents(desk.state);
  const replayed = emptyState();
  for (const entry of await all(desk.entries())) applyEntry(replayed, entry);
  expect(contents(replayed)).toBe(state);
  await desk.close();
  const again = await open(folder);
  expect([again.reports, contents(again.state)]).toEqual([[], state]);
});

test("what a person says after being forgotten is kept, also in the same burst", async () => {
  const desk = await open(newFolder());
  await Promise.all([
    ask(desk, MIRA, { note: "before" }),
    record(desk, { type: "person.forgotten", personId: MIRA }),
    ask(desk, MIRA, { note: "after" }),
  ]);
  const notes = (await all(desk.entries())).flatMap(({ events }) =>
    events.map((event) => (event.type === "request.made" ? event.wish.note : event.type)),
  );
  expect(notes).toEqual([null, "person.forgotten", "after"]);
});

test("a removal that a crash cut short is finished at the next start", async () => {
  const folder = newFolder();
  const desk = await open(folder);
  await record(desk, joined(MIRA, SECRET));
  await desk.close();
  // What a process killed right after storing `person.forgotten` leaves behind.
  const store = new LibsqlStore(`${folder}/journal.db`);
  await store.connect();
  const forgotten = entryOf(2, [{ type: "person.forgotten", personId: MIRA }]);
  await store.setMany([
    { key: "entry:000000000002", value: seal(JSON.stringify(forgotten)) },
    { key: forgetKey(MIRA), value: seal("2") },
  ]);
  await store.disconnect();
  expect(bytesIn(folder)).toContain(SECRET);
  const again = await open(folder);
  expect(bytesIn(folder)).not.toContain(SECRET);
  expect(again.state.people.get(MIRA)?.name).toBe("someone");
});

describe("an entry without a person", () => {
  const nothingPending = (): boolean => false;

  test("is the same object when it says nothing of them", () => {
    const entry = entryOf(1, [joined("terminal:ines", "Ines")], {
      notices: [notice("n", ["terminal:ines"])],
    });
    expect(withoutPerson(entry, MIRA, nothingPending)).toBe(entry);
  });

  test("keeps the text of a notice that is still to be delivered", () => {
    const entry = entryOf(1, [], { notices: [notice("n", [MIRA], "Yours is next")] });
    expect(withoutPerson(entry, MIRA, (key) => key === "n")).toBe(entry);
    expect(withoutPerson(entry, MIRA, nothingPending).notices[0]).toMatchObject({
      key: "n",
      title: "",
      lines: [],
    });
  });

  test("loses the text of a notice that mentions them to others", () => {
    const mention = { ...notice("n", ["terminal:ines"]), lines: [[person(MIRA), " joined you."]] };
    const [left] = withoutPerson(entryOf(1, [], { notices: [mention] }), MIRA, nothingPending).notices;
    expect(left?.lines).toEqual([]);
  });
});
