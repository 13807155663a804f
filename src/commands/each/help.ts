/** /help: what can be typed, and by whom. */
import { strong } from "../../base/phrase.js";
import type { CommandSpec } from "../command.js";
import { defineCommand } from "../define.js";
import { commandNamed } from "../named.js";
import type { Reply } from "../reply.js";
import { mayUse } from "../roles.js";
import { optionLine, usageLine } from "../usage.js";

/** Makes the command from the table it explains (itself included). */
export function helpCommand(table: () => readonly CommandSpec[]): CommandSpec {
  return defineCommand({
    name: "help",
    who: "student",
    help: "What you can type; with a command's name, everything about it.",
    options: [{ name: "command", kind: "text", required: false, help: "A command's name", maxLength: 40 }],
    examples: ["/help", "/help request"],
    answer: async ({ values, call }) =>
      values.command === undefined
        ? overview(table().filter((each) => mayUse(call.asker.role, each)))
        : explanation(commandNamed(values.command, table())),
  });
}

function overview(commands: readonly CommandSpec[]): Reply {
  return {
    tone: "answer",
    title: "What you can type",
    lines: [
      ["Ask for a frame with ", strong("/request M13"), "; hear when it runs with ", strong("/when"), "."],
      [
        "Options follow in order or by name, as in /request M57 filter=R exposure=60; /help request explains one command.",
      ],
    ],
    table: {
      columns: ["command", "what it gives"],
      rows: commands.map((each) => [[usageLine(each)], [each.help]]),
      ownRows: [],
    },
  };
}

function explanation(command: CommandSpec): Reply {
  const who = { student: "anyone", operator: "operators and instructors", instructor: "instructors" }[
    command.who
  ];
  return {
    tone: "answer",
    title: usageLine(command),
    lines: [
      [command.help],
      ...command.options.map((each) => [optionLine(each)]),
      [`For ${who}. Examples: ${command.examples.join("   ")}`],
    ],
  };
}
