/** The one table: complete, consistent, within every platform's limits, and each example works. */
import { describe, expect, it } from "vitest";
import { mayUse } from "../../src/commands/people/roles.js";
import { parseLine } from "../../src/commands/read/parse-text.js";
import { commandTable } from "../../src/commands/table.js";
import { usageLine } from "../../src/commands/words/usage.js";
import { commandTableMarkdown } from "./readme-table.js";
import { mira, okoro, openWorld, quill, read } from "./world.js";

describe("The table of commands", () => {
  it("names each command once, and every command of the foundation", () => {
    const names = commandTable.map((each) => each.name);
    expect(new Set(names).size).toBe(names.length);
    expect(names).toEqual(
      expect.arrayContaining([
        "request",
        "when",
        "queue",
        "withdraw",
        "tonight",
        "target",
        "mine",
        "cancel",
        "hold",
        "resume",
        "rule",
        "help",
        "session",
        "join",
        "why",
        "undo",
        "return",
        "announce",
        "alerts",
        "equipment",
        "telescope",
        "results",
        "forget",
      ]),
    );
  });

  it.each(commandTable.map((each) => [each.name, each] as const))(
    "/%s keeps to the platforms' limits",
    (_, command) => {
      expect(command.name).toMatch(/^[a-z]{1,32}$/);
      expect(command.help.length).toBeGreaterThan(10);
      expect(command.help.length).toBeLessThanOrEqual(100);
      expect(command.options.length).toBeLessThanOrEqual(25);
      const required = command.options.map((each) => each.required);
      for (const option of command.options) {
        expect(option.name).toMatch(/^[a-z]{1,32}$/);
        expect(option.help.length).toBeLessThanOrEqual(100);
        expect(option.choices?.length ?? 0).toBeLessThanOrEqual(25);
        if (option.kind === "request" && option.required) expect(command.examples[0]).toMatch(/ 12\b/);
      }
      if (command.name !== "cancel")
        expect(required).toEqual([...required].sort((a, b) => Number(b) - Number(a)));
      expect(command.examples.length).toBeGreaterThan(0);
    },
  );

  it.each(commandTable.flatMap((each) => each.examples.map((line) => [line, each.name] as const)))(
    "the example %s is understood",
    async (line, name) => {
      expect(parseLine(line, commandTable).command).toBe(name);
      const reply = read(await openWorld().type(line, quill));
      expect(reply).not.toMatch(/has no option|I do not know what|" is no |Something went wrong/);
    },
  );

  it("becomes the guide's table", () => {
    const lines = commandTableMarkdown(commandTable).split("\n");
    expect(lines).toHaveLength(commandTable.length + 2);
    expect(lines[0]).toBe("| command | who | what it gives | for example |");
    expect(lines).toContain(
      "| `/when (request)` | anyone | When your request runs, what runs before it, why, and what could change it. | `/when`, `/when 12` |",
    );
    for (const line of lines) expect(line.replaceAll("\\|", "").split("|")).toHaveLength(6);
  });
});

describe("/help", () => {
  it("lists what the reader may use, and no more", async () => {
    for (const asker of [mira, okoro, quill]) {
      const rows = (await openWorld().type("/help", asker)).table!.rows.map((row) => row[0]![0]);
      expect(rows).toEqual(commandTable.filter((each) => mayUse(asker.role, each)).map(usageLine));
    }
  });

  it("explains one command with its options and examples", async () => {
    const reply = read(await openWorld().type("/help /when"));
    expect(reply).toContain("[answer] /when (request)");
    expect(reply).toContain("request: Its number; your next one when left out");
    expect(reply).toContain("For anyone. Examples: /when   /when 12");
  });

  it("of an unknown command names the nearest", async () => {
    expect(read(await openWorld().type("/help wen"))).toContain(
      "There is no command /wen; did you mean /when?",
    );
  });
});
