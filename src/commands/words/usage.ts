/** Help in words, made from the one table of commands. */

import { listed } from "../../base/english.js";
import type { CommandSpec, OptionSpec } from "../command.js";

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
