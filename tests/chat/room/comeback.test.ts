/** Coming back under one's own name, and taking back what a token or a pass gave. */
import { expect, test } from "vitest";
import { DAY, MINUTE } from "../../../src/base/units.js";
import { Tokens } from "../../../src/chat/room/door/tokens.js";
import { ManualClock } from "../../../src/tools/manual-clock.js";
import { openRoom, type RoomUnderTest, tempFolder } from "./open-room.js";

async function withTeacher() {
  const room = await openRoom();
  const teacher = await room.enter("Prof. Quill", { pass: room.pass });
  const letBack = async (id: string, cookie = teacher.cookie): Promise<string> => {
    const { body } = await room.post("/let-back", { id }, cookie);
    return body.code as string;
  };
  return { room, teacher, letBack };
}

/** The pass that was printed last. */
function nextPass(room: RoomUnderTest): string {
  return /another: (\S+)/.exec(room.printed.at(-1) ?? "")?.[1] as string;
}

test("a student with a new phone comes back by a code from the instructor, with requests and group", async () => {
  const { room, letBack } = await withTeacher();
  const old = await room.enter("Rosalind", { group: "Alder" });
  await old.run("/request M31 clear 20 1");
  const refused = await room.join("Rosalind");
  expect(refused.problem).toMatch(/Ask your instructor to let you back in\.$/);
  const code = await letBack("room:rosalind");
  expect(code).toMatch(/^[A-Z2-9]{4}-[A-Z2-9]{4}$/);
  const back = await room.join("rosalind", { code: code.toLowerCase() });
  expect(back.status).toBe(200);
  expect(room.desk.state.people.get("room:rosalind")).toMatchObject({ name: "Rosalind", group: "Alder" });
  const page = await room.connect(back.cookie);
  expect((await page.run("/mine")).tone).toBe("answer");
  expect(room.desk.state.requests.get(1)?.owner).toBe("room:rosalind");
  expect(await old.end()).toBe(4001);
  expect((await room.who(old.cookie)).me).toBeNull();
});

test("such a code works once, for that name, within half an hour, and only the newest does", async () => {
  const { room, letBack } = await withTeacher();
  await room.join("Rosalind");
  const [first, second] = [await letBack("room:rosalind"), await letBack("room:rosalind")];
  expect((await room.join("Rosalind", { code: first })).code).toBe("wrong-code");
  expect((await room.join("Rune", { code: second })).code).toBe("other-name");
  expect((await room.join("Rosalind", { code: second })).status).toBe(200);
  expect((await room.join("Rosalind", { code: second })).code).toBe("wrong-code");
  const late = await letBack("room:rosalind");
  await room.real.moveTo(room.real.now() + 30 * MINUTE);
  expect((await room.join("Rosalind", { code: late })).code).toBe("wrong-code");
});

test("only an instructor lets someone back in, and only people of the room", async () => {
  const { room, teacher } = await withTeacher();
  const { cookie } = await room.join("Nova");
  for (const path of ["/let-back", "/demote"]) {
    expect((await room.post(path, { id: "room:nova" }, cookie)).body.code).toBe("not-allowed");
    expect((await room.post(path, { id: "room:nova" })).status).toBe(401);
    expect((await room.post(path, { id: "room:nobody" }, teacher.cookie)).body.code).toBe("unknown-person");
    expect((await room.post(path, { id: "room:quill" }, teacher.cookie)).body.code).toBe("unknown-person");
  }
  const list = async (reader: string) =>
    (await fetch(`${room.url}/people`, { headers: { cookie: reader } })).json();
  expect(await list(cookie)).toMatchObject({ code: "not-allowed" });
  expect(await list(teacher.cookie)).toEqual({
    people: [{ id: "room:nova", name: "Nova", role: "student" }],
  });
});

test("staff come back under their name with a new pass; their other devices stay in", async () => {
  const { room, teacher } = await withTeacher();
  expect((await room.join("Prof. Quill")).problem).toMatch(/is a staff name.*add your pass below/);
  const again = await room.join("prof quill", { pass: nextPass(room) });
  expect(again.status).toBe(200);
  expect(await room.who(again.cookie)).toMatchObject({ me: "Prof. Quill", role: "instructor" });
  expect((await room.who(teacher.cookie)).me).toBe("Prof. Quill");
  const names = [...room.desk.state.people.values()].map(({ name }) => name);
  expect(names).toEqual(["Prof. Quill"]);
});

test("a pass makes nobody a student who is here, and an operator's pass no instructor", async () => {
  const { room, teacher } = await withTeacher();
  await room.join("Nova");
  expect((await room.join("Nova", { pass: nextPass(room) })).code).toBe("name-taken");
  teacher.send({ t: "pass", role: "operator" });
  const { pass } = await teacher.message("pass");
  expect((await room.join("Prof. Quill", { pass })).problem).toContain("needs an instructor's pass");
  expect((await room.join("Tam Okoro", { pass })).status).toBe(200);
});

test("staff who are known elsewhere under that name come in with a pass all the same", async () => {
  const room = await openRoom();
  const home = { surface: "terminal", channel: "main" };
  const quill = {
    id: "terminal:quill",
    name: "Prof. Quill",
    classId: "evening-2",
    group: null,
    home,
  } as const;
  await room.happen({ type: "person.joined", person: { ...quill, role: "instructor" } });
  expect((await room.join("Prof. Quill", { pass: room.pass })).status).toBe(200);
  expect(room.desk.state.people.get("room:quill")?.role).toBe("instructor");
});

test("leaving voids the token at once, on every page; the name stays that person's", async () => {
  const { room, letBack } = await withTeacher();
  const page = await room.enter("Rosalind");
  const second = await room.connect(page.cookie);
  expect((await room.post("/leave", {}, page.cookie)).status).toBe(200);
  expect([await page.end(), await second.end()]).toEqual([4001, 4001]);
  expect((await room.who(page.cookie)).me).toBeNull();
  await expect(room.connect(page.cookie)).rejects.toThrow("401");
  expect((await room.join("Rosalind")).code).toBe("name-taken");
  const code = await letBack("room:rosalind");
  expect((await room.join("Rosalind", { code })).status).toBe(200);
});

test("who is forgotten in one tab is told nothing more in another", async () => {
  const room = await openRoom();
  const asking = await room.enter("Nova");
  const other = await room.connect(asking.cookie);
  expect((await asking.run("/forget confirm")).title).toBe("Forgotten");
  expect([await asking.end(), await other.end()]).toEqual([4001, 4001]);
  const said = { type: "announcement.made", classId: "evening-2", text: "Later", by: "staff" } as const;
  await room.happen(said);
  expect(other.notices.filter(({ kind }) => kind === "announcement")).toEqual([]);
});

test("staff rights are taken back: signed out, a student again, and the passes they made are void", async () => {
  const { room, teacher, letBack } = await withTeacher();
  const page = await room.enter("Vale", { pass: nextPass(room) });
  await room.join("Nova");
  page.send({ t: "pass", role: "instructor" });
  const { pass } = await page.message("pass");
  const code = await letBack("room:nova", page.cookie);
  expect((await room.post("/demote", { id: "room:nova" }, teacher.cookie)).body.code).toBe("no-staff");
  expect((await room.post("/demote", { id: "room:vale" }, teacher.cookie)).body).toEqual({ name: "Vale" });
  expect(await page.end()).toBe(4001);
  expect(room.desk.state.people.get("room:vale")?.role).toBe("student");
  expect((await room.join("Nova", { code })).code).toBe("wrong-code");
  expect((await room.join("Rune", { pass })).code).toBe("wrong-pass");
  const back = await room.join("Vale", { code: await letBack("room:vale") });
  expect((await room.who(back.cookie)).role).toBe("student");
});

test("what was voided stays void after a restart", async () => {
  const folder = tempFolder();
  const before = await openRoom({ folder });
  const { cookie } = await before.join("Nova");
  await before.post("/leave", {}, cookie);
  await before.close();
  const after = await openRoom({ folder });
  expect((await after.who(cookie)).me).toBeNull();
});

test("a token ends 30 days after it was given out", async () => {
  const real = new ManualClock(Date.UTC(2026, 0, 1));
  const room = await openRoom();
  await room.join("Nova");
  const tokens = await Tokens.open(room.desk, "evening-2", real);
  const cookie = tokens.cookieFor("room:nova");
  await real.moveTo(real.now() + 30 * DAY - 1);
  expect(tokens.personOf(cookie)?.name).toBe("Nova");
  const renewed = tokens.renewed(cookie) as string;
  await real.moveTo(real.now() + 1);
  expect(tokens.personOf(cookie)).toBeNull();
  expect(tokens.renewed(cookie)).toBeNull();
  expect(tokens.personOf(renewed)?.name).toBe("Nova");
});

test("who looks in a day later gets a fresh token, so that a class that meets weekly stays in", async () => {
  const room = await openRoom();
  const { cookie } = await room.join("Nova");
  const look = async () => (await fetch(room.url, { headers: { cookie } })).headers.get("set-cookie");
  expect(await look()).toBeNull();
  await room.real.moveTo(room.real.now() + DAY);
  const renewed = ((await look()) as string).split(";")[0] as string;
  expect((await room.who(renewed)).me).toBe("Nova");
});
