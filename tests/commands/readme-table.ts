/** What the guide's table of commands has to be. */
import type { CommandSpec } from "../../src/commands/command.js";
import { usageLine } from "../../src/commands/words/usage.js";
import type { Role } from "../../src/queue/request.js";

const WHO: Record<Role, string> = { student: "anyone", operator: "operator", instructor: "instructor" };

/**
 * The guide's table of commands as GitHub-flavoured markdown, one row for each command.
 * Vertical bars in the texts are escaped.
 */
export function commandTableMarkdown(table: readonly CommandSpec[]): string {
  const row = (cells: readonly string[]): string =>
    `| ${cells.map((cell) => cell.replace(/\|/g, "\\|")).join(" | ")} |`;
  const rows = table.map((each) =>
    row([
      `\`${usageLine(each)}\``,
      WHO[each.who],
      each.help,
      each.examples.map((line) => `\`${line}\``).join(", "),
    ]),
  );
  return [
    row(["command", "who", "what it gives", "for example"]),
    row(["---", "---", "---", "---"]),
    ...rows,
  ].join("\n");
}
