/** Guessing codes and taking names: what is held up, and who is not. */
import { expect, test } from "vitest";
import { SECOND } from "../../../src/base/units.js";
import { type OpenOptions, openRoom, type RoomUnderTest, roomConfig } from "./open-room.js";

const letter = (number: number): string =>
  String.fromCharCode(97 + Math.floor(number / 26), 97 + (number % 26));
const RANDOM: OpenOptions = { config: roomConfig({ classCode: undefined }) };

async function guess(room: RoomUnderTest, times: number, name?: string) {
  const answers = [];
  for (let count = 0; count < times; count++)
    answers.push(await room.join(name ?? `Guest ${letter(count)}`, { code: "NO" }));
  return answers;
}

test("wrong codes from an address are answered later and later; half a minute is the longest", async () => {
  const room = await openRoom();
  const answers = await guess(room, 21);
  expect(answers.slice(0, 20).map(({ code }) => code)).toEqual(
    Array.from({ length: 20 }, () => "wrong-code"),
  );
  expect(answers[20]).toMatchObject({
    status: 429,
    problem: "Too many wrong codes from here. Try again in 1 s, with the code from your instructor.",
  });
  for (let round = 0; round < 12; round++) {
    await room.real.moveTo(room.real.now() + 30 * SECOND);
    expect((await room.join(`Late ${letter(round)}`, { code: "NO" })).code).toBe("wrong-code");
  }
  expect((await room.join("Nova")).problem).toContain("Try again in 30 s");
  await room.real.moveTo(room.real.now() + 30 * SECOND);
  expect((await room.join("Nova")).status).toBe(200);
});

test("tries made while waiting are not looked at, and make nobody wait longer", async () => {
  const room = await openRoom();
  await guess(room, 120);
  await room.real.moveTo(room.real.now() + SECOND);
  expect((await room.join("Nova")).status).toBe(200);
});

test("wrong codes for one name hold up that name at that address for a minute at most, not the class", async () => {
  const room = await openRoom();
  await guess(room, 7, "Victim");
  expect((await room.join("victim")).status).toBe(429);
  expect((await room.join("Rune")).status).toBe(200);
  await room.real.moveTo(room.real.now() + 60 * SECOND);
  expect((await room.join("Victim")).status).toBe(200);
});

test("a class code that the program made lets everyone in at any time, whatever others behind the address do", async () => {
  const room = await openRoom(RANDOM);
  const code = room.room.entry?.classCode as string;
  await guess(room, 60);
  await guess(room, 20, "Victim");
  expect((await room.join("Victim", { code })).status).toBe(200);
  expect((await room.join("Rune", { code })).status).toBe(200);
  expect((await guess(room, 1))[0]?.status).toBe(429);
});

test("a pass and a code to come back work whatever others behind the address do", async () => {
  const room = await openRoom();
  const nova = await room.join("Nova");
  const teacher = await room.join("Prof. Quill", { pass: room.pass });
  const next = /another: (\S+)/.exec(room.printed.at(-1) ?? "")?.[1] as string;
  await guess(room, 60);
  expect((await room.post("/pass", { pass: next }, nova.cookie)).status).toBe(200);
  const { body } = await room.post("/let-back", { id: "room:nova" }, teacher.cookie);
  expect((await room.join("Nova", { code: body.code as string })).status).toBe(200);
});

test("wrong passes of someone who is in hold up that person alone", async () => {
  const room = await openRoom();
  const { cookie } = await room.join("Nova");
  for (let count = 0; count < 6; count++) await room.post("/pass", { pass: "NO" }, cookie);
  expect((await room.post("/pass", { pass: "NO" }, cookie)).status).toBe(429);
  expect((await room.join("Rune")).status).toBe(200);
  expect((await room.join("Vale", { pass: "NO" })).problem).toContain("Clear it to come in as a student");
});

test("wrong class codes of someone who is in count against nobody", async () => {
  const room = await openRoom();
  const { cookie } = await room.join("Nova");
  for (let count = 0; count < 40; count++)
    expect((await room.join("Nova", { code: "NO" }, { cookie })).code).toBe("wrong-code");
  expect((await room.join("Rune")).status).toBe(200);
});

test("asking for the groups counts as a try", async () => {
  const room = await openRoom();
  for (let count = 0; count < 20; count++) await room.post("/code", { code: "NO" });
  expect((await room.post("/code", { code: "TEST-CODE" })).status).toBe(429);
});

test("a class comes in at once from one address; after that, one new name every 30 s", async () => {
  const room = await openRoom();
  for (let count = 0; count < 40; count++)
    expect((await room.join(`Guest ${letter(count)}`)).status).toBe(200);
  const late = await room.join("Rune");
  expect(late).toMatchObject({
    status: 429,
    problem: "Many new names came from here just now. Try again in 30 s.",
  });
  expect(room.desk.state.people.size).toBe(40);
  expect((await room.join("Prof. Quill", { pass: room.pass })).status).toBe(200);
  await room.real.moveTo(room.real.now() + 30 * SECOND);
  expect((await room.join("Rune")).status).toBe(200);
  expect((await room.join("Vik")).status).toBe(429);
});

test("one browser has one name, until it leaves", async () => {
  const room = await openRoom();
  const { cookie } = await room.join("Nova");
  const second = await room.join("Rune", {}, { cookie });
  expect(second).toMatchObject({
    status: 403,
    code: "already-in",
    problem: 'You are in as "Nova" already: press Leave first, then come in under another name.',
  });
  await room.post("/leave", {}, cookie);
  expect((await room.join("Rune", {}, { cookie })).status).toBe(200);
});

test("a group that does not exist keeps nobody's name", async () => {
  const room = await openRoom();
  expect((await room.join("Nova", { group: "Nonsense" })).code).toBe("unknown-group");
  expect(room.desk.state.people.size).toBe(0);
});

test("two people cannot use one pass at the same moment", async () => {
  const room = await openRoom();
  const { cookie } = await room.join("Nova");
  const answers = await Promise.all([
    room.join("Vale", { pass: room.pass }),
    room.post("/pass", { pass: room.pass }, cookie),
  ]);
  expect(answers.map(({ status }) => status).sort()).toEqual([200, 403]);
});
