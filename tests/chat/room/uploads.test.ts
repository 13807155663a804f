/** Frames that an operator sends from the room's page, before the command they go with. */
import { readdirSync } from "node:fs";
import { join } from "node:path";
import { expect, test } from "vitest";
import { MINUTE } from "../../../src/base/units.js";
import type { Call } from "../../../src/commands/command.js";
import { eventually } from "../../eventually.js";
import { openRoom, type RoomUnderTest, roomConfig } from "./open-room.js";

async function send(room: RoomUnderTest, cookie: string, name: string, bytes: Buffer, type = FILE) {
  const response = await fetch(`${room.url}/upload?name=${encodeURIComponent(name)}`, {
    method: "POST",
    headers: { "content-type": type, origin: room.url, cookie },
    body: new Uint8Array(bytes),
  });
  return { status: response.status, ...((await response.json()) as { id?: string; problem?: string }) };
}
const FILE = "application/octet-stream";
const left = (room: RoomUnderTest) => readdirSync(join(room.folder, "received", "room"));

/** A room whose command says what it was given. */
async function opened(config = roomConfig()) {
  const found: string[] = [];
  const room = await openRoom({
    config,
    host: (host) => ({
      ...host,
      run: async ({ options, giveFile }: Call) => {
        for (const id of String(options.frames).split(",")) {
          const given = giveFile?.(id);
          const path = await given?.fetch().catch((error: Error) => error.message);
          found.push(`${given?.name}: ${path?.includes(room.folder) ? "here" : path}`);
        }
        return { tone: "done", title: "Done", lines: [] };
      },
    }),
  });
  const staff = await room.enter("Tam Okoro", { pass: room.pass });
  const mark = async (page: typeof staff, frames: string, id = "m1") => {
    page.send({ t: "run", id, command: "mark", options: { what: "done", frames } });
    await page.until(() => page.heard.find((each) => each.t === "reply" && each.id === id));
  };
  return { room, staff, found, mark };
}

test("come to the command by name, in order, and are let go of when it is answered", async () => {
  const { room, staff, found, mark } = await opened();
  const one = await send(room, staff.cookie, "m13 α.fits", Buffer.alloc(9_000_000));
  const two = await send(room, staff.cookie, "b.fits", Buffer.from("x"));
  expect(left(room)).toHaveLength(2);
  await mark(staff, `${one.id},${two.id}`);
  expect(found).toEqual(["m13 α.fits: here", "b.fits: here"]);
  expect(left(room)).toEqual([]);
  await mark(staff, String(one.id), "m2");
  expect(found[2]).toMatch(/not here: choose it again/);
});

test("are taken from nobody who does not work the telescope, and given to nobody else", async () => {
  const { room, staff, found, mark } = await opened();
  const student = await room.enter("Miranda");
  expect(await send(room, student.cookie, "a.fits", Buffer.from("x"))).toMatchObject({ status: 403 });
  expect(await send(room, "", "a.fits", Buffer.from("x"))).toMatchObject({ status: 403 });
  const { id } = await send(room, staff.cookie, "a.fits", Buffer.from("x"));
  await mark(student, String(id));
  expect(found).toEqual([expect.stringMatching(/^The file: .*not here/)]);
  await mark(staff, String(id), "m2");
  expect(found[1]).toBe("a.fits: here");
});

test("too large are refused in a sentence and leave nothing", async () => {
  const { telescope, ...rest } = roomConfig();
  const small = { ...telescope, frames: { ...telescope.frames, largestMegabytes: 1 } };
  const { room, staff } = await opened({ ...rest, telescope: small });
  const answer = await send(room, staff.cookie, "a.fits", Buffer.alloc(1_500_000));
  expect(answer).toMatchObject({ status: 422, problem: expect.stringContaining("larger than 1 MB") });
  expect(await send(room, staff.cookie, "a.fits", Buffer.alloc(0))).toMatchObject({ status: 422 });
  expect(await send(room, staff.cookie, "a.fits", Buffer.from("{}"), "application/json")).toMatchObject({
    status: 403,
  });
});

test("whose command never comes are let go of after ten minutes", async () => {
  const { room, staff } = await opened();
  await send(room, staff.cookie, "a.fits", Buffer.from("x"));
  expect(left(room)).toHaveLength(1);
  await room.real.moveTo(room.real.now() + 10 * MINUTE);
  await eventually(() => expect(left(room)).toEqual([]));
});
