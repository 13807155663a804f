/** Coming in: class code, names, groups, passes. */
import { expect, test } from "vitest";
import { openRoom, roomConfig, tempFolder } from "./open-room.js";

test("lets someone in with the class code, whatever its case, spaces and dashes", async () => {
  const room = await openRoom();
  expect((await room.join("Nova", { code: " test code" })).status).toBe(200);
  expect(room.desk.state.people.get("room:nova")).toMatchObject({ name: "Nova", role: "student" });
});

test("refuses a wrong code with a sentence, and stores nobody", async () => {
  const room = await openRoom();
  const answer = await room.join("Nova", { code: "WRONG-ONE" });
  expect(answer).toMatchObject({ status: 403, cookie: "", code: "wrong-code" });
  expect(answer.problem).toContain("class code");
  expect(room.desk.state.people.size).toBe(0);
});

test.each([
  ["Nova", "nova"],
  ["Nova", "N O V A"],
  ["Nova", "Nóva."],
  ["Anna Lind", "annalind"],
])("%s and %s are one name: the second person is refused", async (first, second) => {
  const room = await openRoom();
  expect((await room.join(first)).status).toBe(200);
  const answer = await room.join(second);
  expect(answer).toMatchObject({ status: 403, code: "name-taken" });
  expect(answer.problem).toContain("add a letter");
});

test("two who type one name at the same moment: one is let in", async () => {
  const room = await openRoom();
  const answers = await Promise.all(Array.from({ length: 8 }, () => room.join("Nova")));
  expect(answers.filter((each) => each.status === 200)).toHaveLength(1);
  expect(room.desk.state.people.size).toBe(1);
});

test("the same browser takes its own name again", async () => {
  const room = await openRoom();
  const { cookie } = await room.join("Nova");
  expect((await room.join("Nova", {}, { cookie })).status).toBe(200);
  expect(room.desk.state.people.size).toBe(1);
});

test("names of someone on another surface of the class are taken too", async () => {
  const room = await openRoom();
  const home = { surface: "terminal", channel: "main" };
  const guest = {
    id: "terminal:gil",
    name: "Gil",
    classId: "evening-2",
    role: "student",
    group: null,
    home,
  } as const;
  await room.happen({ type: "person.joined", person: guest });
  expect((await room.join("gil")).code).toBe("name-taken");
});

test.each(["Tomas", "Prof. Quill", "prof quill", "Tam Okoro"])(
  "%s belongs to the invented class or its staff, and no newcomer takes it",
  async (name) => {
    const room = await openRoom();
    expect((await room.join(name)).code).toBe("name-taken");
  },
);

test("with a real telescope, a listed student takes their own name, account and group", async () => {
  const config = roomConfig();
  const practice = { ...config.telescope.practice, classmates: false };
  const room = await openRoom({ config: { ...config, telescope: { ...config.telescope, practice } } });
  expect((await room.join("Tomas")).status).toBe(200);
  expect(room.desk.state.people.get("room:tomas")).toMatchObject({ name: "Tomas", group: "Alder" });
});

test.each([
  ["<b>Nova</b>", "bNovab"],
  ["  Nova\u202e\u0000  Lind ", "Nova Lind"],
  ["Ｎｏｖａ", "Nova"],
  ["@Rune", "Rune"],
])("the name %j is cleaned to %j", async (typed, shown) => {
  const room = await openRoom();
  expect((await room.join(typed)).status).toBe(200);
  expect([...room.desk.state.people.values()][0]?.name).toBe(shown);
});

test.each(["", "   ", "12345", "...", "someone", "Staff", "x".repeat(25), "Nоva"])(
  "%j is no name, and the answer says what to type",
  async (typed) => {
    const room = await openRoom();
    const answer = await room.join(typed);
    expect(answer).toMatchObject({ status: 403, code: "bad-name" });
    expect(answer.problem).toMatch(/type|shorten/i);
  },
);

test("a group chosen at the door is kept, and nobody else leaves it", async () => {
  const room = await openRoom();
  await room.join("Nova", { group: "Alder" });
  await room.join("Rune", { group: "Alder" });
  const groups = [...room.desk.state.people.values()].map(({ name, group }) => [name, group]);
  expect(groups).toEqual([
    ["Nova", "Alder"],
    ["Rune", "Alder"],
  ]);
  expect((await room.join("Vik", { group: "Nonsense" })).code).toBe("unknown-group");
});

test("a pass makes one instructor, then is void; the next is printed", async () => {
  const room = await openRoom();
  expect((await room.join("Prof. Quill", { pass: room.pass })).status).toBe(200);
  expect(room.desk.state.people.get("room:quill")).toMatchObject({ name: "Prof. Quill", role: "instructor" });
  expect((await room.join("Mallory", { pass: room.pass })).code).toBe("wrong-pass");
  expect(room.desk.state.people.has("room:mallory")).toBe(false);
  const next = /another: (\S+)/.exec(room.printed.join("\n"))?.[1] as string;
  expect((await room.join("Dr Vale", { pass: next })).status).toBe(200);
});

test("an instructor gives out an operator's pass; a student cannot", async () => {
  const room = await openRoom();
  const teacher = await room.enter("Dr Vale", { pass: room.pass });
  teacher.send({ t: "pass", role: "operator" });
  const { pass } = await teacher.message("pass");
  await room.join("Tam Okoro", { pass });
  expect(room.desk.state.people.get("room:okoro")?.role).toBe("operator");
  const student = await room.enter("Nova");
  student.send({ t: "pass", role: "instructor" });
  expect((await student.message("trouble")).text).toContain("Only an instructor");
  expect(student.heard.some((each) => each.t === "pass")).toBe(false);
});

test("someone who is in already becomes staff by a pass, keeping name and requests", async () => {
  const room = await openRoom();
  const page = await room.enter("Nova");
  await page.run("/request M31 clear 20 1");
  const give = (pass: string, cookie = page.cookie) =>
    fetch(`${room.url}/pass`, {
      method: "POST",
      headers: { "content-type": "application/json", origin: room.url, cookie },
      body: JSON.stringify({ pass }),
    });
  expect((await give("WRONG")).status).toBe(403);
  expect((await give(room.pass, "")).status).toBe(400);
  expect(room.desk.state.people.get("room:nova")?.role).toBe("student");
  expect((await give(room.pass)).status).toBe(200);
  expect(room.desk.state.people.get("room:nova")).toMatchObject({ name: "Nova", role: "instructor" });
  expect(room.desk.state.requests.get(1)?.owner).toBe("room:nova");
  expect((await page.run("/hold cloud")).tone).toBe("warning");
});

test("a session outlives a restart; a token that was tampered with or forgotten does not count", async () => {
  const folder = tempFolder();
  const before = await openRoom({ folder });
  const { cookie } = await before.join("Nova");
  await before.close();
  const after = await openRoom({ folder });
  const me = async (value: string) =>
    (
      (await (await fetch(`${after.url}/entry`, { headers: { cookie: value } })).json()) as {
        me: string | null;
      }
    ).me;
  expect(await me(cookie)).toBe("Nova");
  expect(await me(`${cookie.slice(0, -2)}AA`)).toBeNull();
  const [name] = cookie.split("=");
  expect(await me(`${name}=cm9vbTpub3Zh.x.y`)).toBeNull();
  expect(await me(`${name}=`)).toBeNull();
  await after.happen({ type: "person.forgotten", personId: "room:nova" });
  expect(await me(cookie)).toBeNull();
});

test("whoever takes a forgotten name is somebody new", async () => {
  const room = await openRoom();
  await room.join("Nova");
  await room.happen({ type: "person.forgotten", personId: "room:nova" });
  expect((await room.join("Nova")).status).toBe(200);
  expect(room.desk.state.people.get("room:nova-2")?.name).toBe("Nova");
});
