/** Frames attached to /mark: fetched from the file server when they are wanted, and from nowhere else. */
import { existsSync, readFileSync } from "node:fs";
import { afterEach, beforeEach, expect, it } from "vitest";
import { commandTable } from "../../../../src/commands/table.js";
import { given, plainReply, type SetUp, setUp } from "../set-up.js";
import type { Person } from "../stand-in/people.js";

let here: SetUp;
let okoro: Person;
const brought: string[] = [];
/** What the command found, and where. */
const found: string[] = [];

beforeEach(async () => {
  brought.length = 0;
  found.length = 0;
  here = await setUp({ table: commandTable });
  const { guild, operatorRoleId } = given(here.classes[0]);
  okoro = here.standIn.join(guild, "okoro", [operatorRoleId]);
  here.host.answer = async ({ options, giveFile }) => {
    for (const id of String(options.frames).split(",")) {
      const { name, fetch } = given(giveFile)(id);
      const path = await fetch();
      brought.push(path);
      found.push(`${name}: ${readFileSync(path)}`);
    }
    return plainReply("Kept");
  };
});
afterEach(() => here.stop());

const file = (filename: string, text: string, more = {}) => ({ filename, bytes: Buffer.from(text), ...more });

it("brings several in order, and keeps none once the command is answered", async () => {
  const { original } = await okoro.slash("mark", {
    ...{ request: 12, what: "done" },
    ...{
      frames: file("a.fits", "first"),
      frames2: file("b.fits", "second"),
      frames3: file("c.fits", "third"),
    },
  }).settled;
  expect(original?.content).toContain("Kept");
  expect(found).toEqual(["a.fits: first", "b.fits: second", "c.fits: third"]);
  expect(brought.filter((path) => existsSync(path))).toEqual([]);
});

it.each([
  ["that lies elsewhere", { url: "http://127.0.0.1:1/a.fits" }],
  ["whose address is none", { url: "nonsense" }],
  ["that is gone", { url: "GONE" }],
  ["that is too large", { size: 900_000_000 }],
])("fetches no file %s", async (_, more) => {
  const gone = { url: `${new URL(here.standIn.apiUrl).origin}/ephemeral-attachments/1/a.fits` };
  here.host.answer = async ({ options, giveFile }) => {
    const said = await given(giveFile)(String(options.frames))
      .fetch()
      .then(String, (error: Error) => error.message);
    return plainReply(said);
  };
  const attached = file("a.fits", "x", "url" in more && more.url === "GONE" ? gone : more);
  const { original } = await okoro.slash("mark", { what: "done", frames: attached }).settled;
  expect(original?.content).toMatch(/a\.fits could not be fetched, so nothing was done: .+/);
});

it("asks for nothing before the command wants it", async () => {
  here.host.answer = () => plainReply("Not now");
  const { original } = await okoro.slash("mark", {
    what: "done",
    frames: file("a.fits", "x", { url: "nonsense" }),
  }).settled;
  expect(original?.content).toContain("Not now");
});
