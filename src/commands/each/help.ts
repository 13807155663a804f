/** /help: what can be typed, and by whom. */
import { type Phrase, say, strong } from "../../base/phrase.js";
import type { CommandSpec } from "../command.js";
import { defineCommand } from "../define.js";
import { commandNamed } from "../named.js";
import { mayUse } from "../people/roles.js";
import type { Reply } from "../reply.js";
import { example, exampleOf } from "../words/example.js";
import { optionLine, usageLine } from "../words/usage.js";

/** Makes the command from the table it explains (itself included). */
export function helpCommand(table: () => readonly CommandSpec[]): CommandSpec {
  return defineCommand({
    name: "help",
    who: "student",
    help: "What you can type; with a command's name, everything about it.",
    options: [
      { name: "command", kind: "text", help: "A command's name", maxLength: 40, completes: "commands" },
    ],
    examples: ["/help", "/help request"],
    asks: true,
    answer: async ({ values, call }) =>
      values.command === undefined
        ? overview(table().filter((each) => mayUse(call.asker.role, each)))
        : explanation(commandNamed(values.command, table()), table()),
  });
}

const BY_NAME = example("/request M57 filter=R exposure=60", { target: "M57", filter: "R", exposure: 60 });

function overview(commands: readonly CommandSpec[]): Reply {
  return {
    tone: "answer",
    title: "What you can type",
    lines: [
      say`Ask for a frame with ${example("/request M13", { target: "M13" })}; hear when it runs with ${strong("/when")}.`,
      say`Options go by name, as in ${BY_NAME}; ${example("/help request", { command: "request" })} explains one command.`,
    ],
    table: {
      columns: ["command", "what it gives"],
      rows: commands.map((each) => [[usageLine(each)], [each.help]]),
      ownRows: [],
    },
  };
}

function explanation(command: CommandSpec, table: readonly CommandSpec[]): Reply {
  const who = { student: "anyone", operator: "operators and instructors", instructor: "instructors" }[
    command.who
  ];
  return {
    tone: "answer",
    title: usageLine(command),
    lines: [
      [command.help],
      ...command.options.map((each) => [optionLine(each)]),
      say`For ${who}. Examples: ${command.examples.flatMap((each, index): Phrase => [...(index > 0 ? ["   "] : []), exampleOf(each, table)])}`,
    ],
  };
}
