/** Commands inside answers: as typed on a line, and as a form is filled in. */
import { expect, it } from "vitest";
import { renderPhrase } from "../../../src/base/phrase.js";
import type { Reply } from "../../../src/commands/reply.js";
import { commandTable } from "../../../src/commands/table.js";
import { exampleOf } from "../../../src/commands/words/example.js";
import { mira, okoro, openWorld, quill, read, tomas } from "../world.js";

const plain = (text: string) => text;
/** As on a surface with forms. */
const filledIn = ({ lines }: Reply): string =>
  lines
    .map((line) =>
      renderPhrase(line, {
        text: plain,
        strong: plain,
        person: plain,
        time: () => "then",
        form: (text) => `[${text}]`,
      }),
    )
    .join("\n");

it("every command's examples in its help are forms there, and lines to type elsewhere", async () => {
  const world = openWorld();
  for (const command of commandTable) {
    const reply = await world.type(`/help ${command.name}`, quill);
    for (const each of command.examples) {
      expect(read(reply)).toContain(each);
      expect(filledIn(reply)).toContain(`[${exampleOf(each, commandTable).form}]`);
    }
  }
  expect(exampleOf("/alerts mention 23:00-07:30", commandTable).form).toBe(
    "/alerts how:mention quiet:23:00-07:30",
  );
  expect(exampleOf("/cancel target=M13 below the trees", commandTable).form).toMatch(/^\/cancel target:M13/);
});

it.each([
  ["/help", mira, "[/request target:M13]"],
  ["/help", mira, "[/request target:M57 filter:R exposure:60]"],
  ["/alerts", mira, "[/alerts quiet:23:00-07:30]"],
  ["/request M31", mira, "type for example [/request target:M31 filter:clear exposure:"],
  ["/forget", mira, "[/forget confirm:yes]"],
  ["/cancel because", quill, "[/cancel request:12 reason:cloud] or [/cancel all:yes reason:cloud]"],
  ["/session", quill, "[/session action:open] or [/session action:close]"],
  ["/session roster", quill, "[/session action:groups group:Alder members:mira, tomas]"],
])("%s tells the form", async (line, asker, form) => {
  expect(filledIn(await openWorld().type(line, asker))).toContain(form);
});

it("a classmate's same request is joined or insisted on by form", async () => {
  const world = openWorld();
  await world.type("/request M31 clear 20 3", mira);
  const said = filledIn(await world.type("/request M31 clear 20 3", tomas));
  expect(said).toContain("Type [/join request:1]");
  expect(said).toContain("Add [anyway:yes]");
  expect((await world.type("/cancel 1", okoro)).tone).toBe("refused");
});
