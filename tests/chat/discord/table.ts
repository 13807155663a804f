/** A small table of commands with an option of every kind. */
import type { CommandSpec, OptionSpec } from "../../../src/commands/command.js";

const command = (
  name: string,
  who: CommandSpec["who"],
  options: readonly OptionSpec[],
  rest: Partial<CommandSpec> = {},
): CommandSpec => ({
  name,
  who,
  help: `What ${name} does`,
  options,
  examples: [`/${name} 12`],
  run: () => Promise.reject(new Error("run by the host")),
  ...rest,
});

export const TABLE: readonly CommandSpec[] = [
  command(
    "when",
    "student",
    [{ name: "request", kind: "request", required: false, help: "Which request", offer: "own-waiting" }],
    { ages: true },
  ),
  command(
    "request",
    "student",
    [
      { name: "note", kind: "text", required: false, help: "Your own words", maxLength: 200 },
      { name: "target", kind: "target", required: true, help: "What to look at" },
      { name: "filter", kind: "filter", required: false, help: "Through which filter" },
      {
        name: "exposure",
        kind: "number",
        required: false,
        help: "Seconds",
        min: 0.1,
        max: 600,
        unit: "seconds",
      },
      { name: "frames", kind: "whole", required: false, help: "How many", min: 1, max: 20 },
    ],
    { examples: ["/request M13 clear 20 3"] },
  ),
  command("withdraw", "student", [
    { name: "request", kind: "request", required: true, help: "Which request", offer: "own-waiting" },
  ]),
  command(
    "queue",
    "student",
    [{ name: "scope", kind: "choice", required: false, help: "Whose", choices: ["mine", "group", "all"] }],
    { slow: true, ages: true },
  ),
  command("cancel", "instructor", [
    { name: "reason", kind: "text", required: true, help: "Why" },
    { name: "person", kind: "person", required: false, help: "Whose requests" },
    { name: "from", kind: "time", required: false, help: "From when" },
    { name: "date", kind: "date", required: false, help: "Which night" },
  ]),
  command("session", "instructor", [
    { name: "members", kind: "text", required: false, help: "Who is in the group", completes: "people" },
  ]),
  command("mark", "operator", [{ name: "request", kind: "request", required: true, help: "Which" }]),
];
