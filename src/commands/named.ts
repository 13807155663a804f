/** Finds a command by the name that was typed. */
import { Refusal } from "../base/refusal.js";
import type { CommandSpec } from "./command.js";
import { cleanText } from "./read/clean-text.js";
import { nearest } from "./read/spelling.js";

/**
 * The command with a name, in any case, with or without its slash.
 * @throws {Refusal} code "unknown-command", with the nearest name
 */
export function commandNamed(name: string, table: readonly CommandSpec[]): CommandSpec {
  const wanted = cleanText(name).replace(/^\//, "").toLowerCase();
  const found = table.find((each) => each.name === wanted);
  if (found) return found;
  const near = nearest(
    wanted,
    table.map((each) => each.name),
  );
  const help = near ? `did you mean /${near}?` : "type /help to see them all.";
  throw new Refusal("unknown-command", `There is no command /${wanted.slice(0, 30)}; ${help}`);
}
