/** A typed line as a command with raw options: for every surface on which people type. */
import type { Invocation } from "../../base/button.js";
import { Refusal } from "../../base/refusal.js";
import type { CommandSpec, OptionSpec } from "../command.js";
import { commandNamed } from "../named.js";
import { assignWords } from "./assign-words.js";
import { cleanText } from "./clean-text.js";
import { readPlainWords } from "./plain-words.js";
import { quoted } from "./split-line.js";

/** Longer lines are refused unread. */
const LONGEST_LINE = 600;

/**
 * Understands "/request M13 clear 20 3", `/cancel 12 reason="cloud"`, and plain words such as "when will mine run?".
 * @throws {Refusal} codes "line-too-long", "empty-line", "unknown-command", "not-understood", and those of `assignWords`
 */
export function parseLine(line: string, table: readonly CommandSpec[]): Invocation {
  if (line.length > LONGEST_LINE) {
    const length = line.length.toLocaleString("en-GB");
    throw new Refusal(
      "line-too-long",
      `That line has ${length} characters; a command may have at most ${LONGEST_LINE}. Say it in fewer words.`,
    );
  }
  const cleaned = cleanText(line);
  if (cleaned === "" || cleaned === "/") {
    throw new Refusal("empty-line", "Nothing was typed: type /request M13 to ask for a frame, or /help.");
  }
  const first = /^\/?\s*(\S+)/.exec(cleaned) as RegExpExecArray;
  if (cleaned.startsWith("/")) {
    const command = commandNamed(first[1] as string, table);
    return { command: command.name, options: assignWords(cleaned, first[0].length, command) };
  }
  return readPlainWords(cleaned, table) ?? readBareCommand(cleaned, first[0], table);
}

/** The plainest line that is read back as this command with these options: "/when 12", else name by name. */
export function toLine({ command, options }: Invocation, table: readonly CommandSpec[]): string {
  const specs = table.find((each) => each.name === command)?.options ?? [];
  const given = Object.entries(options).filter(([, value]) => value !== undefined);
  const words = given.map(([name, value]) => {
    const text = String(value);
    return `${name}=${/^[\w.+#×-]+$/.test(text) ? text : quoted(text)}`;
  });
  const bare = given.map(([name, value], at) => (goesByPlace(specs[at], name) ? String(value) : words[at]));
  const [plain, named] = [bare, words].map((each) => [`/${command}`, ...each].join(" ")) as [string, string];
  return readsAs(plain, { command, options: Object.fromEntries(given) }, table) ? plain : named;
}

/** A value that says by itself which option it is for; "yes" does not. */
function goesByPlace(spec: OptionSpec | undefined, name: string): boolean {
  return spec?.name === name && spec.named !== true && spec.choices?.length !== 1;
}

function readsAs(line: string, { command, options }: Invocation, table: readonly CommandSpec[]): boolean {
  try {
    const read = parseLine(line, table);
    const names = Object.keys(options);
    return (
      read.command === command &&
      Object.keys(read.options).length === names.length &&
      names.every((name) => read.options[name] === String(options[name]))
    );
  } catch (error) {
    if (error instanceof Refusal) return false;
    throw error;
  }
}

/** "queue" or "request M13", without the slash. */
function readBareCommand(line: string, word: string, table: readonly CommandSpec[]): Invocation {
  const command = table.find((each) => each.name === word.toLowerCase());
  if (command) return { command: command.name, options: assignWords(line, word.length, command) };
  throw new Refusal(
    "not-understood",
    "I did not understand that: type /request M13 to ask for a frame, /when to hear when yours runs, or /help.",
  );
}
