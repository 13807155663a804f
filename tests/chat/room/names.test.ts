/** Names that look alike, that are kept back, or that are only written differently. */
import { expect, test } from "vitest";
import { sameName } from "../../../src/chat/room/door/look-alikes.js";
import { cleanName } from "../../../src/chat/room/door/names.js";
import { cleanText } from "../../../src/commands/read/clean-text.js";
import { openRoom, roomConfig } from "./open-room.js";

test.each([
  "\u115f",
  "\u1160",
  "\u3164",
  "\uffa0",
  "\u2800",
  "\u034f",
  "\u180e",
  "\u{e0041}",
  "\u00ad",
  "\u200d",
  "\ufe0f",
])("a name with the unseen character %j at its end is the name without it", (unseen) => {
  expect(cleanName(`Ada${unseen}`)).toBe("Ada");
});

test("what joins letters or chooses a picture's form stays in other text", () => {
  expect(cleanText("می‌خواهم 🧑‍🚀 ☀️")).toBe("می‌خواهم 🧑‍🚀 ☀️");
  expect(cleanName("علی‌رضا")).toBe("علی‌رضا");
});

test.each([
  ["Ada", "Аԁа"],
  ["Ada", "ᎪᎠᎪ"],
  ["Ada", "ᴀᴅᴀ"],
  ["Prof. Quill", "Prof. QuiIl"],
  ["Prof. Quill", "Prof. Qu1ll"],
  ["Prof. Quill", "Prof. Quı́ll"],
  ["Otto", "0tt0"],
  ["Quill", "Ouill"],
  ["Boss", "8o5s"],
  ["Instructor", "lnstructor"],
  ["Arno", "Amo"],
  ["Ina", "ina"],
  ["Вова", "вова"],
  ["Zoë", "ZOE"],
  ["Łukasz", "Lukasz"],
])("%s and %s are one name to a reader", (one, other) => {
  expect(sameName(one, other)).toBe(true);
  expect(sameName(other, one)).toBe(true);
});

test.each([
  ["रवि", "रवी"],
  ["か", "が"],
  ["Ilan", "Lian"],
  ["Вова", "Boba"],
  ["Ana", "Anna"],
  ["Nova", "Nora"],
])("%s and %s are two names", (one, other) => {
  expect(sameName(one, other)).toBe(false);
});

test.each(["Ꭺda", "Nоva", "Aλex", "さくらAi"])("%s mixes scripts", (typed) => {
  expect(() => cleanName(typed)).toThrow("in the letters of one script");
});

test.each(["Jürgen", "O’Neil", "नवीन", "ကျွန်ုပ်", "さくら", "山田 太郎", "김하늘", "Ἀθηνᾶ", "Ꮳꮃꭹ", "R2"])(
  "%s is kept as it is",
  (typed) => {
    expect(cleanName(typed)).toBe(typed);
  },
);

test("marks piled upon a letter are cut", () => {
  expect(cleanName("Z̷̛̫a̴̧̛̟lgo")).toBe("Zalgo");
});

test.each(["रवी", "रवि", "か", "が"])("%s is let in beside the names that differ by a mark", async (name) => {
  const room = await openRoom();
  for (const other of ["रवी", "रवि", "か", "が"].filter((each) => each !== name)) await room.join(other);
  expect((await room.join(name)).status).toBe(200);
});

test.each([
  "N1ghtslate",
  "1nstructor",
  "Teacher",
  "all",
  "none",
  "me",
  "mine",
  "everyone",
  "Staff Nova",
  "the telescope",
  "lnstructor",
  "1nstruct0r 2",
])("%s means something else than a person", async (name) => {
  const room = await openRoom();
  const answer = await room.join(name);
  expect(answer).toMatchObject({ status: 403, code: "bad-name" });
  expect(answer.problem).toMatch(/type your own/i);
});

test.each(["Mine Kaya", "Le You", "Staffan", "Hall"])("%s is a person's name", async (name) => {
  const room = await openRoom();
  expect((await room.join(name)).status).toBe(200);
});

test.each([
  "Quill",
  "Professor Quill",
  "Prof. QuiIl",
  "Prof. Qu1ll",
  "Prof. Quı́ll",
  "ProfQuill",
  "Q u i l l",
  "Nova Okoro",
])("%s would pass for staff, whether they are here or not", async (name) => {
  const room = await openRoom();
  const sentence = `"${name.normalize("NFKC")}" is a staff name. Type your own, or add your pass below.`;
  expect((await room.join(name)).problem).toBe(sentence);
  await room.join("Prof. Quill", { pass: room.pass });
  expect((await room.join(name)).problem).toBe(sentence);
});

test("the instructor who types only the surname, with a pass, is the listed one", async () => {
  const room = await openRoom();
  const { cookie } = await room.join("Quill", { pass: room.pass });
  expect(await room.who(cookie)).toEqual({ site: expect.any(String), me: "Prof. Quill", role: "instructor" });
});

test("a newcomer gets no listed member's account by a name that is spelt like it", async () => {
  const config = roomConfig();
  const [first] = config.classes as unknown as [(typeof config.classes)[number]];
  const students = [{ id: "mira", name: "Mira Vance", group: "Alder" }];
  const practice = { ...config.telescope.practice, classmates: false };
  const changed = {
    ...config,
    classes: [{ ...first, students }],
    telescope: { ...config.telescope, practice },
  };
  const room = await openRoom({ config: changed });
  await room.join("Mira");
  expect(room.desk.state.people.get("room:mira-2")).toMatchObject({ name: "Mira", group: null });
  await room.join("Mira Vance");
  expect(room.desk.state.people.get("room:mira")).toMatchObject({ name: "Mira Vance", group: "Alder" });
});
