/** What the forms call things. */
import { expect, test } from "vitest";
import { wireCommand } from "../../../src/chat/room/live/to-wire.js";
import { deedWords, fieldWords, nothingWords, oneOf } from "../../../src/chat/room/page/ask/form-words.js";
import { commandTable } from "../../../src/commands/table.js";

const commands = commandTable.map(wireCommand);
const named = (name: string) => commands.find((each) => each.name === name)!;

test("the button of every form says what it does", () => {
  for (const command of commands.filter(({ options }) => options.length > 0)) {
    expect(deedWords(command, {}, ""), command.name).not.toBe("");
  }
  expect(deedWords(named("session"), { action: "open" }, "")).toBe("Open asking");
  expect(deedWords(named("rule"), { name: "planned" }, "")).toBe("Set the rule");
});

test("fields have words of their own, and say when they are optional", () => {
  expect(fieldWords({ name: "notbefore", required: false })).toBe("Not before (optional)");
  expect(fieldWords({ name: "target", required: true })).toBe("Target");
  expect(nothingWords(named("request"), { name: "filter" })).toBe("usual");
  expect(nothingWords(named("queue"), { name: "scope" })).toBe("no matter");
});

test("cancelling begins with what, each way an option of the command", () => {
  expect(oneOf(named("cancel")).map(([{ name }]) => name)).toEqual([
    "request",
    "person",
    "target",
    "group",
    "all",
  ]);
  expect(oneOf(named("request"))).toEqual([]);
});
