/** Help in words and the README's table, both made from the one table of commands. */

import { listed } from "../../base/english.js";
import type { Role } from "../../queue/request.js";
import type { CommandSpec, OptionSpec } from "../command.js";

const WHO: Record<Role, string> = { student: "anyone", operator: "operator", instructor: "instructor" };

/** "/when (request)": required options bare, the others in brackets. */
export function usageLine(command: CommandSpec): string {
  const options = command.options.map((each) => (each.required ? each.name : `(${each.name})`));
  return [`/${command.name}`, ...options].join(" ");
}

/** "filter: through which filter; clear when left out". */
export function optionLine(option: OptionSpec): string {
  const values = option.choices && option.choices.length > 1 ? ` (${listed(option.choices, "or")})` : "";
  return `${option.name}: ${option.help}${values}`;
}

/**
 * The README's table of commands as GitHub-flavoured markdown, one row for each command.
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
