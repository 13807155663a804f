/** Every notice once and in order, whatever happens to the phone or the server in between. */
import fc from "fast-check";
import { expect, test } from "vitest";
import type { Sequence } from "../../../src/chat/room/wire.js";
import type { NightslateEvent } from "../../../src/journal/events.js";
import { closeAll, openRoom, type Page, type RoomUnderTest, tempFolder } from "./open-room.js";

const CLASS = "evening-2";
const said = (text: string): NightslateEvent => ({
  type: "announcement.made",
  classId: CLASS,
  text,
  by: "room:teacher",
});
const texts = (page: Page): string[] =>
  page.notices.flatMap(({ lines }) => /^T\d+/.exec(String(lines[0]?.[0] ?? ""))?.[0] ?? []);
const numbered = (from: number, to: number): string[] =>
  Array.from({ length: to - from }, (_, index) => `T${from + index}`);
const end = (page: Page): Sequence => {
  const last = page.heard.findLast((each) => each.t === "notice" || each.t === "caught-up");
  return last?.t === "notice" ? last.notice.seq : last?.t === "caught-up" ? last.seq : [0, 0];
};

test("a connected page is told at once", async () => {
  const room = await openRoom();
  const page = await room.enter("Nova");
  await room.happen(said("T0"));
  await page.until(() => texts(page).length === 1);
  expect(page.notices[0]).toMatchObject({ to: "class", kind: "announcement" });
});

test("what was missed while away comes on return, once and in order, before what is new", async () => {
  const room = await openRoom();
  const page = await room.enter("Nova");
  await room.happen(said("T0"));
  await page.until(() => texts(page).length === 1);
  page.socket.terminate();
  for (const text of numbered(1, 9)) await room.happen(said(text));
  const again = await room.connect(page.cookie, { after: end(page), back: 0 });
  await room.happen(said("T9"));
  await again.until(() => texts(again).includes("T9"));
  expect(texts(again)).toEqual(numbered(1, 10));
});

test("after a reload the last ones seen are shown again before the missed ones, each once", async () => {
  const room = await openRoom();
  const page = await room.enter("Nova");
  for (const text of numbered(0, 5)) await room.happen(said(text));
  await page.until(() => texts(page).length === 5);
  const seen = end(page);
  page.socket.terminate();
  for (const text of numbered(5, 8)) await room.happen(said(text));
  const again = await room.connect(page.cookie, { after: seen, back: 3 });
  expect(texts(again)).toEqual(numbered(2, 8));
});

test("what was stored before the server was killed is there after its restart", async () => {
  const folder = tempFolder();
  const before = await openRoom({ folder });
  const page = await before.enter("Nova");
  await before.happen(said("T0"));
  await page.until(() => texts(page).length === 1);
  const seen = end(page);
  page.socket.terminate();
  for (const text of numbered(1, 4)) await before.happen(said(text));
  await before.close();
  const after = await openRoom({ folder });
  await after.happen(said("T4"));
  const again = await after.connect(page.cookie, { after: seen, back: 0 });
  expect(texts(again)).toEqual(numbered(1, 5));
});

test("more than is kept at hand is read from the journal", async () => {
  const room = await openRoom();
  const page = await room.enter("Nova");
  const seen = end(page);
  page.socket.terminate();
  for (const text of numbered(0, 1_300)) await room.happen(said(text));
  const again = await room.connect(page.cookie, { after: seen, back: 60 });
  expect(texts(again)).toEqual(numbered(0, 1_300));
});

test("nothing is lost where what is at hand meets what is in the journal", async () => {
  const room = await openRoom();
  const page = await room.enter("Nova");
  const places: Sequence[] = [];
  for (const text of numbered(0, 620)) {
    await room.happen(said(text));
    await page.until(() => page.notices.length > places.length);
    places.push(end(page));
  }
  for (let seen = 0; seen < 36; seen++) {
    await room.real.moveTo(room.real.now() + 5_000);
    const again = await room.connect(page.cookie, { after: places[seen] as Sequence, back: 0 });
    expect(texts(again)).toEqual(numbered(seen + 1, 620));
    again.socket.terminate();
  }
});

test("someone new gets the latest, not the whole term", async () => {
  const room = await openRoom();
  await room.join("Nova");
  for (const text of numbered(0, 100)) await room.happen(said(text));
  const page = await room.enter("Rune");
  expect(texts(page)).toEqual(numbered(40, 100));
});

test("a place in another journal, beyond this one's end, hides nothing that follows", async () => {
  const room = await openRoom();
  const { cookie } = await room.join("Nova");
  const page = await room.connect(cookie, { after: [1e9, 0], back: 0 });
  await room.happen(said("T0"));
  await page.until(() => texts(page).length === 1);
});

test("a delivery that is repeated after a crash shows nothing twice", async () => {
  const room = await openRoom();
  const page = await room.enter("Nova");
  await room.happen(said("T0"));
  await page.until(() => texts(page).length === 1);
  const [notice] = (await lastNotices(room)) as [never];
  const parcel = { key: "k", to: { surface: "room", channel: CLASS }, notices: [notice], maybeSent: true };
  expect(await room.room.deliver(parcel)).toEqual({ result: "delivered", messageId: null });
  await room.happen(said("T1"));
  await page.until(() => texts(page).includes("T1"));
  expect(texts(page)).toEqual(["T0", "T1"]);
});

test("bystanders read the title of somebody else's notice, never its lines; of a direct one nothing", async () => {
  const room = await openRoom();
  const [nova, rune] = [await room.enter("Nova"), await room.enter("Rune")];
  await nova.run("/request M31 clear 20 1");
  await nova.run("/withdraw 1");
  await nova.run("/request M31 clear 20 1");
  await cancel(room, 2);
  const mine = await nova.until(() => nova.notices.find(({ kind }) => kind === "cancelled"));
  const theirs = await rune.until(() => rune.notices.find(({ kind }) => kind === "cancelled"));
  expect(mine).toMatchObject({ to: "you" });
  expect(JSON.stringify(mine.lines)).toContain("cloud rolls in");
  expect(theirs).toMatchObject({ to: "other", lines: [], actions: [], frames: [] });
  await nova.run("/alerts direct");
  await nova.run("/request M13 clear 20 1 anyway=yes");
  await cancel(room, 3);
  await nova.until(() => nova.notices.filter(({ kind }) => kind === "cancelled").length === 2);
  await room.happen(said("T0"));
  await rune.until(() => texts(rune).length === 1);
  expect(rune.notices.filter(({ kind }) => kind === "cancelled")).toHaveLength(1);
});

type Step = "say" | "leave" | "come" | "restart";

test("any order of talking, leaving, coming back and restarts: each once, in order", async () => {
  const step = fc.constantFrom<Step>("say", "say", "say", "leave", "come", "come", "restart");
  await fc.assert(
    fc.asyncProperty(fc.array(step, { minLength: 3, maxLength: 14 }), async (steps) => {
      expect(await told(steps)).toEqual(numbered(0, steps.filter((each) => each === "say").length));
    }),
    { numRuns: 25 },
  );
});

/** What a reader has been told after the steps and a last return. */
async function told(steps: readonly Step[]): Promise<string[]> {
  const folder = tempFolder();
  let room = await openRoom({ folder });
  const { cookie } = await room.join("Nova");
  let page: Page | null = await room.connect(cookie);
  let seen = end(page);
  const read: string[] = [];
  let next = 0;
  const leave = (): void => {
    if (!page) return;
    read.push(...texts(page));
    seen = end(page);
    page.socket.terminate();
    page = null;
  };
  for (const step of [...steps, "leave" as const, "come" as const, "leave" as const]) {
    if (step === "say") await room.happen(said(`T${next++}`));
    if (step === "leave" || step === "restart") leave();
    if (step === "come" && !page) page = await room.connect(cookie, { after: seen, back: 0 });
    if (step === "restart") {
      await room.close();
      room = await openRoom({ folder });
    }
  }
  await closeAll();
  return read;
}

async function cancel(room: RoomUnderTest, number: number): Promise<void> {
  const cancelId = `c${number}`;
  const by = "room:teacher";
  await room.happen({
    type: "requests.cancelled",
    cancelId,
    numbers: [number],
    reason: "cloud rolls in",
    by,
  });
}

async function lastNotices(room: RoomUnderTest) {
  const all = [];
  for await (const entry of room.desk.entries()) all.push(...entry.notices);
  return all.slice(-1);
}
